//! What a running process holds, as the system counts it; what it spends is in `spent`.
use std::fs;

/// Memory that is in use, in KiB.
pub fn resident_kib(id: u32) -> u64 {
    let status = fs::read_to_string(format!("/proc/{id}/status")).expect("a running process");
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).expect("proc(5)");
    line.split_whitespace().next().and_then(|number| number.parse().ok()).expect("proc(5)")
}

/// Open files, sockets among them.
pub fn open_files(id: u32) -> usize {
    fs::read_dir(format!("/proc/{id}/fd")).expect("a running process").count()
}
