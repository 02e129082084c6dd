//! What a running process takes, as the system counts it.
use std::{fs, time::Duration};

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

/// Time that processors have spent on it. What other programs do makes no difference.
pub fn processor_time(id: u32) -> Duration {
    let line = fs::read_to_string(format!("/proc/{id}/stat")).expect("a running process");
    // The name in brackets may have anything in it; what follows are the fields from the third on.
    let fields: Vec<&str> = line.rsplit_once(')').expect("proc(5)").1.split_whitespace().collect();
    let ticks = |at: usize| fields[at - 3].parse::<u64>().expect("proc(5)");
    // `getconf CLK_TCK` says 100 on every Linux of today.
    Duration::from_millis((ticks(14) + ticks(15)) * 10)
}
