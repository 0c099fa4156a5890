//! What threads take in turn.

use std::sync::{Mutex, MutexGuard, PoisonError, TryLockError};

/// How often a thread looks whether the lock is free before it sleeps; four times as often gained nothing.
const LOOKS: usize = 2_000;

/// What the lock holds; a thread that panicked while it had it does not matter.
pub(super) fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// What a lock holds that is free again in some microseconds most of the time: less than it takes to wake a
/// thread that sleeps. Threads that begin together meet at every chunk; in a log of a million rows they slept
/// 250 times, and 30 times since they look.
pub(super) fn locked_soon<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    locked_when(mutex, |_| true).unwrap_or_else(|| locked(mutex))
}

/// What a lock holds, as soon as it is free and as is wanted; none where that takes long.
pub(super) fn locked_when<T>(mutex: &Mutex<T>, is_wanted: impl Fn(&T) -> bool) -> Option<MutexGuard<'_, T>> {
    for _ in 0..LOOKS {
        let free = match mutex.try_lock() {
            Ok(guard) => Some(guard),
            Err(TryLockError::Poisoned(poisoned)) => Some(poisoned.into_inner()),
            Err(TryLockError::WouldBlock) => None,
        };
        if let Some(guard) = free.filter(|guard| is_wanted(guard)) {
            return Some(guard);
        }
        std::hint::spin_loop();
    }
    None
}
