//! Many files at once: one after another on every core, their results in the order of the files.

use std::io::{IsTerminal, Write};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc;

/// Stack of a worker, in bytes: as deep as that of the main thread on the machines it runs on.
const STACK: usize = 8 << 20;

/// Does a job for every item. The results stand in the order of the items, whichever was done first.
///
/// How far it has come is told on standard error, on a terminal only.
pub(super) fn each<T: Sync, R: Send>(items: &[T], job: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let workers = std::thread::available_parallelism().map_or(1, usize::from).min(items.len());
    if workers <= 1 {
        return items.iter().map(job).collect();
    }
    let next = AtomicUsize::new(0);
    let (give, take) = mpsc::channel();
    let mut done: Vec<Option<R>> = items.iter().map(|_| None).collect();
    let progress = Progress::of(items.len());
    std::thread::scope(|scope| {
        let mut started = 0;
        for _ in 0..workers {
            let (give, next, job) = (give.clone(), &next, &job);
            let work = move || {
                loop {
                    let k = next.fetch_add(1, Ordering::Relaxed);
                    let Some(item) = items.get(k) else { return };
                    if give.send((k, job(item))).is_err() {
                        return;
                    }
                }
            };
            started += usize::from(std::thread::Builder::new().stack_size(STACK).spawn_scoped(scope, work).is_ok());
        }
        drop(give);
        if started == 0 {
            // no thread to be had: the main one does it all
            items.iter().enumerate().for_each(|(k, item)| done[k] = Some(job(item)));
        }
        for (n, (k, result)) in take.iter().enumerate() {
            done[k] = Some(result);
            progress.tell(n + 1);
        }
    });
    progress.clear();
    // OK: every index below the length was taken by one worker, and the scope waits for them all
    done.into_iter().flatten().collect()
}

/// "12 of 60" on a terminal.
struct Progress {
    of: usize,
    shown: bool,
}

/// Fewer files than this are done before a line about them could be read.
const FEW: usize = 8;

impl Progress {
    fn of(of: usize) -> Self {
        Self { of, shown: of >= FEW && std::io::stderr().is_terminal() }
    }

    fn tell(&self, n: usize) {
        if self.shown {
            let _ = write!(std::io::stderr(), "\r{n} of {}", self.of);
        }
    }

    fn clear(&self) {
        if self.shown {
            let _ = write!(std::io::stderr(), "\r{:width$}\r", "", width = 2 * self.of.to_string().len() + 4);
        }
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn results_stand_in_the_order_of_the_items() {
        let items: Vec<u64> = (0..100).collect();
        let slow_first = |n: &u64| {
            std::thread::sleep(std::time::Duration::from_micros(200 - 2 * n));
            n * 2
        };
        assert_eq!(super::each(&items, slow_first), (0..100).map(|n| n * 2).collect::<Vec<_>>());
        assert!(super::each(&[], slow_first).is_empty());
    }
}
