//! Words that tell how a roll went.

/// It did not come up.
pub(super) const FAILED: &[&str] = &[
    "missed", "failed", "fluffed", "whiffed", "botched", "flunked", "flubbed", "bombed", "miss", "fail", "fails",
    "misses",
];

/// It came up.
pub(super) const PASSED: &[&str] = &[
    "passed",
    "made",
    "hit",
    "hits",
    "ducked",
    "saved",
    "got",
    "rolled",
    "succeeded",
    "dodged",
    "shrugged",
    "landed",
    "pass",
    "passes",
    "saves",
    "save",
    "successes",
    "through",
    "sixes",
    "threw",
    "scored",
    "managed",
];
