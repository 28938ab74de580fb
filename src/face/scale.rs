//! The printed size of a chart: by its style, its width, or its paper.

use super::ChartOptions;
use crate::chart::{Scene, Style};

/// Text has a least printed size, so a scale that gives a size is found in a few steps.
const STEPS: usize = 5;

/// Composes a chart at the scale its options ask for.
pub(super) fn settled(options: &ChartOptions, compose: impl Fn(&Style) -> Scene) -> Scene {
    let mut style = options.style.clone();
    let mut scene = compose(&style);
    if let Some(width) = options.width_mm {
        for _ in 0..STEPS - 1 {
            let now = scene.size_mm().0;
            style = style.clone().with_mm_per_sc(style.mm_per_sc * width / now);
            scene = compose(&style);
        }
        return scene;
    }
    let Some(paper) = options.paper else { return scene };
    let least = style.least_mm().min(style.mm_per_sc);
    for _ in 0..STEPS {
        let (width, height) = scene.size_mm();
        let share = paper.share_that_fits(width, height);
        if share >= 1.0 || style.mm_per_sc <= least {
            break;
        }
        // a little under, so that the last decimals do not ask for another step
        style = style.clone().with_mm_per_sc((style.mm_per_sc * share * 0.999).max(least));
        scene = compose(&style);
    }
    scene
}
