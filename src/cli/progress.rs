//! Shows that something goes on where it takes longer than half a second.

use std::time::Duration;

use indicatif::ProgressBar;

/// Bytes of a stock list from which reading and searching it take noticeable
/// time: some 100,000 lines.
const LARGE_BYTES: usize = 4 << 20;

/// Does `work` on `bytes` bytes with a word on stderr while it lasts, where the
/// list is large and stderr is a terminal.
pub(super) fn shown<T>(says: String, bytes: usize, work: impl FnOnce() -> T) -> T {
    if bytes < LARGE_BYTES {
        return work();
    }
    let bar = ProgressBar::new_spinner().with_message(says);
    bar.enable_steady_tick(Duration::from_millis(120));
    let result = work();
    bar.finish_and_clear();
    result
}
