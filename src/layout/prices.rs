//! What each want is worth, by the view: the weights of the energy.

use super::View;
use super::terms::Weight;

/// The weights of the energy. Each is the price of a residual of 1: a stitch half as far away as it should be costs
/// (5.0 · 0.5)².
pub(super) struct Prices {
    pub(super) width: Weight,
    /// A chain stretches no more than it shrinks: else the side with more in it pulls the ovals apart.
    pub(super) chain_width: Weight,
    /// A slip stitch has no arms: it takes what room its neighbours leave.
    pub(super) slip_width: Weight,
    pub(super) seam_width: Weight,
    pub(super) nominal_width: f64,
    pub(super) even_width: f64,
    pub(super) height: Weight,
    /// A closed round shrinks its heights to save its widths where a row would bend: so it is held firmer.
    pub(super) height_closed: Weight,
    /// What is beyond so much over its height costs this too.
    pub(super) stretched: f64,
    pub(super) even_height: f64,
    pub(super) even_height_closed: f64,
    pub(super) even_legs: f64,
    pub(super) short_leg: f64,
    pub(super) clear_leg: f64,
    pub(super) lean: f64,
    pub(super) lean_of_leg: f64,
    pub(super) lean_on_base: f64,
    pub(super) turning: f64,
    pub(super) turning_closed: f64,
    /// Sides between true corners want to be straight; without it squares bulge into discs.
    pub(super) side: f64,
    pub(super) fan: f64,
    /// A chain keeps the bend its first row gives it. Smaller and plain rows above straighten it again.
    pub(super) chain_bend: f64,
    pub(super) chain_bend_even: f64,
    pub(super) apex: f64,
    /// Between taut and one place a chain a chord is free: what is short of it crowds, what is longer tears the row open.
    pub(super) chord_short: f64,
    pub(super) chord_beyond: f64,
    /// A branch stands square on its row: smaller and the row round it pulls it over, onto the row.
    pub(super) branch_lean: f64,
    /// Round the corner of a branch the line goes on forward; smaller and its two stitches there change places.
    pub(super) seam_turn: f64,
    /// Where neighbours differ in height, lines slope: what wants them level is heard this much.
    pub(super) unequal: f64,
}

impl Prices {
    /// The weights of a view.
    pub(super) const fn of(view: View) -> &'static Prices {
        match view {
            View::Chart => &CHART,
            View::True => &TRUE,
        }
    }
}

const CHART: Prices = Prices {
    width: Weight::Sided { short: 5.0, long: 2.0, limit: 9.0, beyond: 2.0 },
    chain_width: Weight::Sided { short: 5.0, long: 5.0, limit: 9.0, beyond: 5.0 },
    slip_width: Weight::Sided { short: 2.5, long: 0.3, limit: 9.0, beyond: 0.3 },
    seam_width: Weight::Sided { short: 4.0, long: 0.24, limit: 9.0, beyond: 0.24 },
    nominal_width: 0.5,
    even_width: 5.0,
    height: Weight::Sided { short: 6.0, long: 1.5, limit: 9.0, beyond: 1.5 },
    height_closed: Weight::Sided { short: 8.0, long: 1.5, limit: 9.0, beyond: 1.5 },
    stretched: 5.0,
    even_height: 1.0,
    even_height_closed: 2.0,
    even_legs: 3.0,
    short_leg: 4.0,
    clear_leg: 6.0,
    lean: 1.8,
    lean_of_leg: 0.3,
    lean_on_base: 0.8,
    turning: 1.6,
    turning_closed: 3.8,
    side: 1.0,
    fan: 1.0,
    chain_bend: 24.0,
    chain_bend_even: 0.3,
    apex: 1.2,
    chord_short: 2.5,
    chord_beyond: 3.0,
    branch_lean: 4.0,
    seam_turn: 0.6,
    unequal: 0.15,
};

// lengths count, whichever way they are off; lines may bend and stitches lean, and the chain goes where its rows push it
const TRUE: Prices = Prices {
    width: Weight::Even(6.0),
    chain_width: Weight::Even(2.0),
    nominal_width: 0.0,
    even_width: 1.0,
    height: Weight::Even(6.0),
    height_closed: Weight::Even(6.0),
    stretched: 0.0,
    even_height: 0.5,
    even_height_closed: 0.5,
    lean: 0.6,
    lean_of_leg: 0.15,
    lean_on_base: 0.3,
    turning: 0.4,
    turning_closed: 0.6,
    side: 0.2,
    chain_bend: 0.15,
    chord_short: 0.5,
    ..CHART
};
