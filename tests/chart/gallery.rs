//! The pieces of the gallery, in words.

/// Name and words of every piece of the gallery.
pub const GALLERY: &[(&str, &str)] = &[
    (
        "leaf-swatch",
        "Leaf swatch\n\nCh 14.\n\nRow 1 (RS): Dc in 4th ch from hook and in each ch across. Turn. (12 dc)\n\nRow 2 (WS): Ch 1, sc in each st across. Turn. (12 sc)\n\nRow 3 (RS): Ch 3, dc in next 11 sts. Turn. (12 dc)\n\nRow 4 (WS): Ch 3, dc in next 11 sts. (12 dc)\n",
    ),
    (
        "acorn-fans",
        "Acorn fans\n\nCh 14.\n\nRow 1 (RS): Sc in 2nd ch from hook, *skip 2 ch, 5 dc in next ch, skip 2 ch, sc in next ch; rep from * once more. Turn. (13 sts)\n\nRow 2 (WS): Ch 3, 2 dc in same st, skip 2 dc, sc in next dc, skip 2 dc, 5 dc in next sc, skip 2 dc, sc in next dc, skip 2 dc, 3 dc in last sc. Turn. (13 sts)\n",
    ),
    (
        "apple-disc",
        "Apple disc\n\nMake a magic ring.\n\nRound 1: Ch 1, 6 sc in ring, join with sl st to first sc. (6 sts)\n\nRound 2: Ch 1, 2 sc in each st around, join with sl st to first sc. (12 sts)\n\nRound 3: Ch 1, *sc in next st, 2 sc in next st; rep from * around, join with sl st to first sc. (18 sts)\n\nRound 4: Ch 1, *sc in next 2 sts, 2 sc in next st; rep from * around, join with sl st to first sc. Fasten off. (24 sts)\n",
    ),
    (
        "pear-decreases",
        "Pear decreases\n\nCh 13.\n\nRow 1 (RS): Sc in 2nd ch from hook and in each ch across. Turn. (12 sc)\n\nRow 2 (WS): Ch 1, sc2tog, sc in next 2 sts, 2 sc in next st, sc in next 2 sts, 3 sc in next st, sc in next 2 sts, sc2tog. Turn. (13 sc)\n\nRow 3 (RS): Ch 3, dc in next st, dc3tog, dc in next 3 sts, dc2tog, dc in next 3 sts. (10 sts)\n",
    ),
    (
        "doily-lace",
        "Doily\n\nCh 6, join with sl st to form a ring.\n\nRound 1: Ch 3 (counts as dc), 15 dc in ring, join with sl st to top of ch 3. (16 dc)\n\nRound 2: Ch 1, sc in same st, *ch 5, skip 1 st, sc in next st; rep from * 6 times more, ch 5, join with sl st to first sc. (8 sc)\n\nRound 3: Sl st in next ch-5 sp, ch 3 (counts as dc), 4 dc in same sp, *5 dc in next ch-5 sp; rep from * around, join with sl st to top of ch 3. Fasten off. (40 dc)\n",
    ),
    (
        "pear-textures",
        "Pear textures\n\nWith A, ch 18.\n\nRow 1 (RS): Dc in 4th ch from hook and in each ch across. Turn. (16 dc)\n\nRow 2 (WS): Ch 3, *FPdc around next st, BPdc around next st; rep from * 6 times more, dc in last st. Turn. (16 sts)\n\nRow 3 (RS): Ch 1, sc in BLO of each st across. Turn. (16 sc)\n\nRow 4 (WS): Ch 2, hdc in next 3 sts, 2 hdc in next st, hdc in next 11 sts. Turn. (17 hdc)\n\nRow 5 (RS): Ch 4, tr in next 6 sts, dtr in next 3 sts, tr in next 7 sts. Fasten off. (17 sts)\n",
    ),
    (
        "acorn-colours",
        "Acorn colours\n\nMaterials\nYarn A: leaf green, medium (4), about 8 m\nYarn B: bark brown, medium (4), about 2 m\n\nWith A, ch 9.\n\nRow 1 (RS): Sc in 2nd ch from hook and in each ch across. Turn. (8 sc)\n\nRow 2 (WS): Ch 1, sc in each st across. Fasten off A. Turn. (8 sc)\n\nJoin B.\n\nRow 3 (RS): With B, ch 1, sc in next 4 sts, ch 3, sl st in last sc made, sc in next 4 sts. Fasten off B. (8 sc)\n",
    ),
    (
        "pear-puffs",
        "Pear puffs\n\nSpecial stitches\n3-dc cluster (3-dc cl): [yo, insert hook in st, yo and pull up a loop, yo and pull through 2 loops] 3 times in same st, yo and pull through all loops.\n\nCh 14.\n\nRow 1 (RS): Sc in 2nd ch from hook and in each ch across. Turn. (13 sc)\n\nRow 2 (WS): Ch 3, *skip 1 st, 3-dc cl in next st, ch 1; rep from * 4 times more, skip 1 st, dc in last st.\n",
    ),
];
