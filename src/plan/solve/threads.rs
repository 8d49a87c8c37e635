//! Work that falls into parts, done side by side.

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Does a job for each number below `count`, on as many threads as the machine has cores, at most
/// four. The answers come back in order: the number of threads changes no answer.
pub(in crate::plan) fn side_by_side<T: Send>(
    count: usize,
    job: impl Fn(usize) -> T + Sync,
) -> Vec<T> {
    let cores = std::thread::available_parallelism().map_or(1, usize::from).min(4).min(count);
    if cores <= 1 {
        return (0..count).map(job).collect();
    }
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<(usize, T)>> = Mutex::new(Vec::with_capacity(count));
    std::thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(|| {
                loop {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    if at >= count {
                        return;
                    }
                    let answer = job(at);
                    if let Ok(mut done) = done.lock() {
                        done.push((at, answer));
                    }
                }
            });
        }
    });
    let mut done = done.into_inner().unwrap_or_else(std::sync::PoisonError::into_inner);
    done.sort_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, answer)| answer).collect()
}
