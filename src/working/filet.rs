//! Filet worked mesh by mesh: each stands on one below, be that open or filled.

use super::edge::{LiveEdge, What};
use super::row::RowWork;
use super::shapes::From;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Class, Step, Target};
use crate::source::{Code, Span};

/// What stands between meshes.
pub(super) const BAR: StitchForm = StitchForm::plain(Stem::Tall(1));

/// Where the first of them goes.
pub(super) static NEXT: Target = Target::NEXT;

/// Chains of a mesh where the row below shows none.
const USUAL: usize = 2;

impl LiveEdge {
    /// Chains of a mesh: those of the first space there is.
    fn mesh_chains(&self) -> usize {
        self.spots
            .iter()
            .find_map(|s| if let What::Space(n, _) = s.what { Some(n as usize) } else { None })
            .unwrap_or(USUAL)
    }

    /// Where the mesh of so many chains ends that begins at a place, behind the stitch that closes it; and whether it is
    /// open. None where no whole one is left.
    fn mesh_end(&self, at: usize, chains: usize) -> Option<(usize, bool)> {
        let counts = |i: &usize| !self.spots[*i].what.is_by_name();
        let mut ahead = (at..self.end()).filter(counts);
        let first = ahead.next()?;
        if self.spots[first].is_space() {
            let bar = ahead.next().filter(|&i| !self.spots[i].is_space())?;
            return Some((bar + 1, true));
        }
        let rest: Vec<usize> = ahead.take(chains).collect();
        let whole = rest.len() == chains && !rest.iter().any(|&i| self.spots[i].is_space());
        whole.then(|| (rest.last().map_or(first, |k| k + 1).max(first + 1), false))
    }
}

impl RowWork<'_> {
    /// So many meshes or blocks; as many as there are where `n` is 0.
    pub(super) fn filet(&mut self, n: u32, filled: bool, span: Span, rest: &[Step]) {
        let most = if n == 0 { usize::MAX } else { n as usize };
        let kept = if n == 0 { self.reserve_all(rest) } else { 0 };
        // looked up once: a solid edge has no space, so that the look goes over the whole of it
        let mesh = self.edge.mesh_chains();
        let chains = u32::try_from(mesh).unwrap_or(1);
        let mut made = 0;
        while made < most {
            if self.bench.limit_hit || self.stopped {
                return;
            }
            let Some((_, open)) = self.edge.mesh_end(self.edge.cursor, mesh) else {
                if n > 0 {
                    self.run_out(span, 1);
                }
                return;
            };
            if n == 0 && self.edge.ahead(&Class::Any) <= kept {
                return;
            }
            let under = if open { (1, Class::Space(None)) } else { (chains, Class::Stitch) };
            // the chain that turned the row is the first mesh's own, or made that mesh already
            let begun = !self.chains.is_empty();
            if begun && (filled || self.doubt(span, 2, Code::CountDiffers) == 1) {
                self.first_mesh(open, chains, span);
                continue;
            }
            let acts = match (filled, open) {
                (true, true) => vec![dc(chains, 1, Class::Space(None)), dc(1, 1, Class::Stitch)],
                (true, false) => vec![dc(1, chains + 1, Class::Stitch)],
                (false, _) => {
                    let own = (!begun).then_some(Act::Chain { n: chains });
                    let over = [Act::Skip { n: under.0, class: under.1 }, dc(1, 1, Class::Stitch)];
                    own.into_iter().chain(over).collect()
                }
            };
            made += 1;
            let steps: Vec<Step> = acts.into_iter().map(|act| Step { act, span }).collect();
            self.run(&steps);
            if filled {
                *self.tally.groups.entry("block".into()).or_default() += 1;
            }
        }
    }

    /// The mesh that the turning chain began: only its bar is left to work.
    fn first_mesh(&mut self, open: bool, chains: u32, span: Span) {
        let (n, class) = if open { (1, Class::Space(None)) } else { (chains, Class::Stitch) };
        let acts = [Act::Skip { n, class }, dc(1, 1, Class::Stitch)];
        self.run(&acts.map(|act| Step { act, span }));
    }

    /// Where so many meshes come to.
    pub(super) fn walk_filet(&self, n: u32, mut from: From) -> Option<From> {
        if n == 0 {
            return Some(From { cursor: self.edge.spots.len(), ..from });
        }
        let mesh = self.edge.mesh_chains();
        for _ in 0..n {
            from.cursor = self.edge.mesh_end(from.cursor, mesh)?.0;
        }
        Some(from)
    }
}

fn dc(each: u32, n: u32, class: Class) -> Act {
    Act::Work { each, form: BAR, at: Target::Next { n, class } }
}
