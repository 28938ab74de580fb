//! What a row was offered, used and made.

use crate::fabric::{RowId, Side};
use crate::instructions::Stated;
use crate::source::Span;
use std::collections::BTreeMap;

/// The count of one row as worked.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tally {
    /// The fabric's row.
    pub row: RowId,
    /// Index of the part in the pattern.
    pub part: usize,
    /// `Row 3`, `Foundation`, or the heading as published.
    pub label: String,
    /// The whole row line.
    pub span: Span,
    /// The words of the work.
    pub body: Span,
    /// Face toward the worker; none for a foundation.
    pub side: Option<Side>,
    /// True where every word was understood.
    pub read: bool,
    /// True where the row below was not read, so that nothing can be held against this one.
    pub uncertain: bool,
    /// Chains of a foundation.
    pub chains: Option<usize>,
    /// Places there were to work into, less those passed; none for foundations and first rounds in a ring.
    pub offered: Option<usize>,
    /// Places worked into or skipped in words, as the words ask.
    pub used: Option<usize>,
    /// Places crossed without a word.
    pub passed: usize,
    /// Places of a named class not reached.
    pub left: usize,
    /// Stitches that count.
    pub made: usize,
    /// Chains made in the row that are no turning chain.
    pub chain_stitches: usize,
    /// True where a chain that counts as a stitch opens the row.
    pub opens_on_chain: bool,
    /// True while the rows before say that chains count.
    pub chains_count: bool,
    /// Slip stitches worked as stitches.
    pub slip_stitches: usize,
    /// Counts stated for this row.
    pub stated: Vec<Stated>,
    /// Stitches made by kind.
    pub kinds: BTreeMap<String, usize>,
    /// Of those, what stands in groups that have a name.
    pub in_groups: BTreeMap<String, usize>,
    /// Chains of two or more that open the row or its blocks: the next row may take them for spaces.
    pub openers: usize,
    /// Spaces made by length, `ch-2`.
    pub spaces: BTreeMap<String, usize>,
    /// True where this row or one before it has clusters, popcorns or puffs.
    pub clusters_known: bool,
    /// The pattern's own groups made, by name.
    pub groups: BTreeMap<String, usize>,
    /// Groups spelled out that are made as a named one is: that name, and the stitches and spaces of it.
    pub alike: Vec<(String, Vec<String>)>,
    /// Runs of stitches made, for those a statement counts.
    pub runs: BTreeMap<(u32, Option<String>), usize>,
    /// The words at which places ran out.
    pub ran_out: Option<Span>,
    /// Where a repeat stopped with places left over: the repeat, what a pass takes.
    pub remainder: Option<(Span, usize)>,
    /// The last words that work.
    pub last_words: Span,
    /// True where the row is the first on a foundation chain.
    pub on_chain: bool,
    /// True where places were left in words.
    pub leave_told: bool,
    /// Places that its last words stop before: "sc in each sc to last 2 sc, turn".
    pub stops_before: usize,
    /// True where its words end by turning the work.
    pub turns: bool,
    /// True where those are taken as left in words.
    pub left_by_stop: bool,
    /// True where it ended by going on round the far side of a chain.
    pub far_side: bool,
    /// True where the one place left is the top of a turning chain that counts.
    pub left_turning: bool,
    /// Chains skipped at the hook before the first stitch of row 1.
    pub skipped_at_hook: usize,
    /// True where its turning chain counts, false where not; none where it has none.
    pub turning_counts: Option<bool>,
    /// Groups worked into a place, whatever their name.
    pub groups_worked: usize,
    /// How often each of its outermost repeats was worked.
    pub passes: Vec<usize>,
    /// True where stitches or spaces stand before the first repeat: its passes have a fellow there.
    pub begun_before: bool,
    /// The stem its turning chain was held against.
    pub turning_stem: Option<crate::craft::Stem>,
}

impl Tally {
    /// The count of what a statement speaks of.
    pub fn count_of(&self, of: &crate::instructions::CountOf) -> usize {
        use crate::instructions::CountOf;
        match of {
            // "sl st around (30)": a round of slip stitches alone
            CountOf::Sts if self.made == 0 && self.chain_stitches == 0 => self.slip_stitches,
            CountOf::Sts => self.made + if self.chains_count { self.chain_stitches } else { 0 },
            CountOf::Kind(kind) if kind == "ch" => self.chain_stitches,
            // a stitch of others' rows where it carries the yarn, it is counted where it is all that is told
            CountOf::Kind(kind) if kind == "sl st" && self.made == 0 => self.slip_stitches,
            CountOf::Kind(kind) => self.kinds.iter().filter(|(k, _)| is_kind(k, kind)).map(|(_, n)| n).sum(),
            CountOf::Spaces(Some(n)) => self.spaces.get(&format!("ch-{n}")).copied().unwrap_or(0),
            CountOf::Spaces(None) => self.spaces.values().sum(),
            CountOf::Runs(n, kind) => self.runs.get(&(*n, kind.clone())).copied().unwrap_or(0),
            CountOf::Group(name) if clustered(name).is_some() => {
                let ending = clustered(name).unwrap_or_default();
                let kinds: usize = self.kinds.iter().filter(|(k, _)| k.ends_with(ending)).map(|(_, n)| n).sum();
                let named = self.groups.get(name.trim_end_matches('s')).copied().unwrap_or(0);
                // a cluster over several places is so many stitches together
                let spread = |k: &str| k.ends_with("tog") && !k.ends_with("2tog");
                // of three legs and more, the one that a chain opens has a leg less
                let opening = |k: &str| k.ends_with("2tog") && self.kinds.get(k) == Some(&1);
                let opened = || usize::from(self.kinds.keys().any(|k| opening(k)));
                let together = || match self.kinds.iter().filter(|(k, _)| spread(k)).map(|(_, n)| n).sum() {
                    0 => 0,
                    n => n + opened(),
                };
                if ending == "cl" && kinds == 0 && named == 0 { together() } else { kinds.max(named) }
            }
            CountOf::Group(_) => self.groups.iter().filter(|(k, _)| is_of(k, of)).map(|(_, n)| n).sum(),
        }
    }

    /// True where places used are places offered.
    pub fn balances(&self) -> bool {
        self.ran_out.is_none() && self.left == 0 && self.remainder.is_none()
    }

    /// True where every place is used, or left in words, and every count that can be checked is what was made.
    pub fn comes_out(&self) -> bool {
        (self.balances() || self.leave_told) && self.agrees()
    }

    /// Takes what the last words stop before as left in words, where the count stated agrees.
    pub fn leave_what_it_stops_before(&mut self, stops_before: usize) {
        self.stops_before = stops_before;
        let told = self.stated.iter().any(|s| self.can_check(&s.of)) && self.agrees();
        self.left_by_stop =
            !self.leave_told && self.left > 0 && self.left == stops_before && !self.left_turning && told;
        if self.left_by_stop {
            self.leave_told = true;
            self.used = self.used.map(|used| used.saturating_add(self.left));
            self.left = 0;
        }
    }

    /// A stem, a strap or an ear worked in rows from where the yarn is tied on: what lies beside it is no part of it,
    /// where its own count agrees.
    pub fn leave_beside_what_is_tied_on(&mut self, tied_on: bool) {
        let told = self.stated.iter().any(|s| self.can_check(&s.of)) && self.agrees();
        if tied_on && told && !self.leave_told && self.left > 0 && !self.left_turning {
            self.leave_told = true;
            self.used = self.used.map(|used| used.saturating_add(self.left));
            self.left = 0;
        }
    }

    /// True where every stated count that can be checked is what was made.
    pub fn agrees(&self) -> bool {
        self.wrong_count().is_none()
    }

    /// The first count that can be checked and is not what was made.
    pub fn wrong_count(&self) -> Option<&crate::instructions::Stated> {
        self.stated.iter().find(|s| self.can_check(&s.of) && !self.counts(s))
    }

    /// What is stated is what was made; the group that a chain opens the row with has no name, and may be counted or not.
    fn counts(&self, stated: &crate::instructions::Stated) -> bool {
        use crate::instructions::CountOf;
        let (made, told) = (self.count_of(&stated.of), stated.count as usize);
        let named = matches!(&stated.of, CountOf::Group(name) if clustered(name).is_none());
        // a "beg shell" has its name, and is counted with the others
        let opening_named = self.groups.keys().any(|k| super::shapes::base_name(k) != k && !k.contains(" over "));
        // "9 V-sts, 4 dc": the dc beside the V-sts
        let beside = match &stated.of {
            CountOf::Kind(kind) if self.states_a_group() => {
                let held = self.in_groups.iter().filter(|(k, _)| is_kind(k, kind)).map(|(_, n)| n).sum::<usize>();
                let alike = self.alike.iter().flat_map(|(_, parts)| parts).filter(|k| is_kind(k, kind)).count();
                [made.saturating_sub(held), made.saturating_sub(held + alike)]
            }
            CountOf::Group(_) if named => {
                [made, made + self.alike.iter().filter(|(k, _)| is_of(k, &stated.of)).count()]
            }
            // "13 3-dc groups, 2 dc": the dc beside the groups
            CountOf::Kind(kind) => [made.saturating_sub(self.in_stated_runs(kind)); 2],
            _ => [made; 2],
        };
        // "hdc around post of each st (6 hdc)": post stitches are told by their height, unless they are counted apart
        let with_posts = match &stated.of {
            CountOf::Kind(kind) => made + self.untold_posts(kind),
            _ => made,
        };
        made == told
            || with_posts == told
            || beside.contains(&told)
            || named && self.opens_on_chain && !opening_named && made + 1 == told
    }

    /// Post stitches of a height that the row states no count of.
    fn untold_posts(&self, kind: &str) -> usize {
        use crate::instructions::CountOf;
        let posts = ["fp", "bp"].map(|side| format!("{side}{kind}"));
        if self.stated.iter().any(|s| matches!(&s.of, CountOf::Kind(told) if posts.contains(told))) {
            return 0;
        }
        posts.iter().filter_map(|post| self.kinds.get(post)).sum()
    }

    /// True where the row makes what it states.
    pub fn agrees_with(&self, stated: &crate::instructions::Stated) -> bool {
        use crate::instructions::CountOf;
        let count = stated.count as usize;
        if self.can_check(&stated.of) {
            return self.counts(stated);
        }
        if stated.of == CountOf::Kind("sl st".into()) {
            return count == self.slip_stitches || count == self.slip_stitches + 1;
        }
        // "5 petals": groups, or spaces, by a name the row does not use
        matches!(stated.of, CountOf::Group(_))
            && (self.groups_worked == count
                || self.spaces.values().sum::<usize>() == count
                || self.spaces.values().sum::<usize>() + self.openers == count
                || self.passes.iter().any(|&passes| passes == count || self.begun_before && passes + 1 == count))
    }

    /// Stitches of a kind in the runs that the row states by their number.
    fn in_stated_runs(&self, kind: &str) -> usize {
        let held = |s: &Stated| match &s.of {
            crate::instructions::CountOf::Runs(n, Some(of)) if is_kind(of, kind) => *n as usize * self.count_of(&s.of),
            _ => 0,
        };
        self.stated.iter().map(held).sum()
    }

    /// True where the row states how many groups of a name it has.
    fn states_a_group(&self) -> bool {
        let group = |of: &crate::instructions::CountOf| matches!(of, crate::instructions::CountOf::Group(_));
        let alike = |of: &crate::instructions::CountOf| self.alike.iter().any(|(name, _)| is_of(name, of));
        self.stated.iter().any(|s| group(&s.of) && (self.count_of(&s.of) > 0 || alike(&s.of)))
    }

    /// True where nothing was worked.
    fn is_bare(&self) -> bool {
        let offered = self.offered.is_some();
        self.read
            && !self.uncertain
            && offered
            && self.made + self.slip_stitches + self.chain_stitches == 0
            && self.groups.is_empty()
    }

    /// A group of a name that nothing in the row carries cannot be counted.
    pub fn can_check(&self, of: &crate::instructions::CountOf) -> bool {
        use crate::instructions::CountOf;
        match of {
            // "12 clusters" of a granny are groups of dc, where no row has a cluster
            CountOf::Group(name) => {
                clustered(name).is_some() && self.clusters_known || self.count_of(of) > 0 || self.is_bare()
            }
            // some count the one that joins, or those that carry the yarn, and some do not
            CountOf::Kind(kind) if kind == "sl st" => self.made == 0,
            _ => true,
        }
    }
}

/// True for a group of the name that is counted, in the singular or the plural.
fn is_of(have: &str, of: &crate::instructions::CountOf) -> bool {
    let base = super::shapes::base_name(have);
    let crate::instructions::CountOf::Group(name) = of else { return false };
    base == name || name.strip_suffix('s') == Some(base) || name.strip_suffix("es") == Some(base)
}

/// `sc2tog` is an sc to whoever counts or names sc.
pub(super) fn is_kind(have: &str, named: &str) -> bool {
    // a dc3tog in one space is a cluster there
    let there = named.strip_suffix("tog").map(|n| format!("{n}cl"));
    let together = there.is_some_and(|n| have == n || opened_by_chain(have, &n));
    have == named
        || together
        || opened_by_chain(have, named)
        || have
            .strip_prefix(named)
            .is_some_and(|rest| rest.ends_with("tog") && rest.starts_with(|c: char| c.is_ascii_digit()))
}

/// A cluster whose first leg is the chain that opens the row has one leg less than its fellows.
fn opened_by_chain(have: &str, named: &str) -> bool {
    let parts = |kind: &str| -> Option<(String, u32, String)> {
        let from = kind.find(|c: char| c.is_ascii_digit())?;
        let ending = kind[from..].trim_start_matches(|c: char| c.is_ascii_digit());
        let legs = kind[from..kind.len() - ending.len()].parse().ok()?;
        (ending != "tog").then(|| (kind[..from].to_owned(), legs, ending.to_owned()))
    };
    match (parts(have), parts(named)) {
        (Some((stem, legs, ending)), Some((of, all, like))) => stem == of && ending == like && legs + 1 == all,
        _ => false,
    }
}

/// The ending that the kinds of a clustered stitch have, by its plural name.
pub(super) fn clustered(name: &str) -> Option<&'static str> {
    match super::shapes::base_name(name) {
        "clusters" | "cluster" | "cl" | "cls" | "bobble" | "bobbles" => Some("cl"),
        "popcorns" | "popcorn" | "pc" | "pcs" => Some("pc"),
        "puffs" | "puff" | "puff st" => Some("puff"),
        _ => None,
    }
}

/// True for three tall stitches or more together: a cluster over several places.
pub(super) fn is_cluster_over(kind: &str) -> bool {
    let Some(together) = kind.strip_suffix("tog") else { return false };
    let name = together.trim_end_matches(|c: char| c.is_ascii_digit());
    let legs: u32 = together[name.len()..].parse().unwrap_or(0);
    legs > 2 && !matches!(name, "sc" | "hdc" | "sl st")
}

/// True for a kind of several legs that meet.
pub(super) fn is_clustered(kind: &str) -> bool {
    ["cl", "pc", "puff", "tog"].iter().any(|ending| kind.ends_with(ending)) && !kind.ends_with("2tog")
}
