//! A long piece worked round both sides of its chain, as text.

/// Rows worked along both sides of a chain and round its end, three more in each.
pub fn both_sides(rows: usize) -> String {
    let side = 2 * rows;
    let mut text = format!(
        "Both sides\n\nUS terms.\nCh 1 at the start of a row does not count as a stitch.\n\nCh {}.\nRow 1: Sc in 2nd ch from hook and in next {} ch, 3 sc in last ch; working along opposite side of foundation ch, sc in next {side} ch. Turn.\nRow 2: Ch 1, sc in next {side} sts, 2 sc in each of next 3 sts, sc in next {side} sts. Turn.\n",
        side + 2,
        side - 1
    );
    for row in 3..=rows {
        text += &format!(
            "Row {row}: Ch 1, sc in next {side} sts, [sc in next {} sts, 2 sc in next st] 3 times, sc in next {side} sts. Turn.\n",
            row - 2
        );
    }
    text
}
