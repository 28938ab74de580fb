//! Whole patterns, from their words.

use fanwise::fabric::Fabric;
use fanwise::{reading, working};

const PEAR: &str = "Pear

Written in US terms.
Ch 1 at the start of a row does not count as a stitch.

With A, ch 14.

Row 1 (RS): Sc in 2nd ch from hook and in each of next 5 ch, 3 sc in next ch, sc in next 5 ch, 5 sc in last ch; working along opposite side of foundation ch, sc in next 12 ch. Turn. (31 sts)
Row 2 (WS): Ch 1, sc in next 6 sts, sc2tog, sc in next 4 sts, [2 sc in next st, sc in next st] twice, 2 sc in next st, sc in next 6 sts, 2 sc in next st, sc in next 7 sts. Turn. (34 sts)
Row 3 (RS): Ch 1, sc in next 8 sts, 2 sc in next st, sc in next 7 sts, 2 sc in next st, sc in next 2 sts, 2 sc in next st, sc in next st, 2 sc in next st, sc in next 4 sts, sc2tog, sc in next 6 sts, changing to B in last st. Do not turn. (37 sts)
Fasten off A.
Border row 1 (RS): With B, ch 1, sc in each row end across the open end. Turn. (6 sts)
Border row 2 (WS): Ch 1, sc in each st across. Fasten off B. (6 sts)
";

const LEAF: &str = "Leaf

Written in US terms.

Ch 14.

Row 1 (RS): Sl st in 2nd ch from hook, sc in next ch, hdc in next ch, dc in next 2 ch, tr in next 3 ch, dc in next 2 ch, hdc in next ch, sc in next ch, (sc, ch 3, sl st in 3rd ch from hook, sc) in last ch; working along opposite side of foundation ch, sc in next ch, hdc in next ch, dc in next 2 ch, tr in next 3 ch, dc in next 2 ch, hdc in next ch, sc in next ch, sl st in last ch. Fasten off.
";

const ACORN: &str = "Acorn

Written in US terms.
Ch 1 at the start of a row does not count as a stitch.

Ch 12.

Row 1 (RS): Sc in 2nd ch from hook and in each of next 4 ch, 3 sc in next ch, sc in next 4 ch, 5 sc in last ch; working along opposite side of foundation ch, sc in next 10 ch. Turn. (27 sts)
Row 2 (WS): Ch 1, sc in next 5 sts, sc2tog, sc in next 3 sts, [2 sc in next st, sc in next st] twice, 2 sc in next st, sc in next 5 sts; ch 5, sc in 2nd ch from hook, sc in next 3 ch, sl st in next st; sc in next 6 sts. Turn.
Row 3 (RS): Ch 1, sc in next 6 sts, sc in next 4 sts, 3 sc in next st, sc in next 4 sts, sc in each st across. Fasten off.
";

const APPLE: &str = "Apple

Written in US terms.
Ch 1 at the start of a round does not count as a stitch.

With A, make a magic ring.

Rnd 1 (RS): Ch 1, 6 sc in ring, join with sl st in first sc. (6 sts)
Rnd 2: Ch 1, 2 sc in each st around, join with sl st in first sc. (12 sts)
Rnd 3: Ch 1, [sc in next st, 2 sc in next st] 6 times, join with sl st in first sc. (18 sts)
Rnd 4: Ch 1, sc in next st, [2 sc in next st, sc in next 2 sts] 5 times, 2 sc in next st, sc in next st, join with sl st in first sc. (24 sts)
Rnd 5: Ch 1, [sc in next 3 sts, 2 sc in next st] 6 times, join with sl st in first sc. (30 sts)
Row 6: Ch 7, sl st in 2nd ch from hook and in next 2 ch, ch 6, sc in 2nd ch from hook, hdc in next ch, dc in next ch, hdc in next ch, sc in next ch, sl st in next 3 ch. Fasten off.
";

const COASTER: &str = "Coaster

Written in US terms.
Ch 3 at the start of a round counts as a dc.

Ch 4, join with sl st to form a ring.

Rnd 1 (RS): Ch 3, 2 dc in ring, ch 2, [3 dc in ring, ch 2] 3 times, join with sl st in top of beginning ch 3. (12 dc)
Rnd 2: Sl st in next 2 dc, sl st in next ch-2 sp, ch 3, (2 dc, ch 2, 3 dc) in same sp, ch 1, [(3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1] 3 times, join with sl st in top of beginning ch 3. (24 dc)
Rnd 3: Sl st in next 2 dc, sl st in next ch-2 sp, ch 3, (2 dc, ch 2, 3 dc) in same sp, ch 1, 3 dc in next ch-1 sp, ch 1, [(3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1, 3 dc in next ch-1 sp, ch 1] 3 times, join with sl st in top of beginning ch 3. Fasten off. (36 dc)
";

pub(super) fn all() -> Vec<(&'static str, Fabric)> {
    [("p-pear", PEAR), ("p-leaf", LEAF), ("p-acorn", ACORN), ("p-apple", APPLE), ("p-coaster", COASTER)]
        .into_iter()
        .map(|(name, text)| (name, fabric_of(name, text)))
        .collect()
}

fn fabric_of(name: &str, text: &str) -> Fabric {
    let (pattern, mut problems) = reading::read(text, &Default::default());
    let worked = working::work(&pattern);
    problems.extend(worked.problems);
    for problem in problems {
        println!("{name}: {} {:?}", problem.message, text.get(problem.span.start..problem.span.end));
    }
    worked.fabric
}
