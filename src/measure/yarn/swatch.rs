//! A swatch that was worked and measured: it tells the yarn of a stitch in this hand.

use super::stitch::widths_of_yarn;
use crate::craft::{Stem, turning_chains};
use crate::reading::SwatchTold;

/// Metres of yarn for each width of the model, as a swatch has it.
///
/// A swatch of one row is that row alone; one of several has its foundation and its turning chains in it.
pub(super) fn metres_per_width(swatch: &SwatchTold) -> f64 {
    let (sts, rows) = (f64::from(swatch.sts), f64::from(swatch.rows));
    let mut widths = sts * rows * widths_of_yarn(swatch.stem);
    if swatch.rows > 1 {
        let turns = f64::from(turning_chains(swatch.stem)) * rows;
        widths += (sts + turns) * widths_of_yarn(Stem::Chain(1));
    }
    swatch.metres / widths
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: windchilde.com: a 5-inch row of sc takes 53 inches, of hdc 78.5, of dc 102.
    #[test]
    fn calibrated_on_the_row_of_sc_the_other_rows_are_met_within_three_per_cent() {
        const INCH: f64 = 0.0254;
        let sts = 16;
        let swatch = SwatchTold { sts, rows: 1, stem: Stem::Single, metres: 53.0 * INCH };
        for (stem, inches) in [(Stem::Single, 53.0), (Stem::HalfDouble, 78.5), (Stem::DC, 102.0)] {
            let metres = metres_per_width(&swatch) * f64::from(sts) * widths_of_yarn(stem);
            assert!((metres / (inches * INCH) - 1.0).abs() < 0.03, "{stem}: {metres}");
        }
    }
}
