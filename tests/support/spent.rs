//! What a piece of work costs its thread: seconds of the processor, and the most memory that it holds at once.
use std::{
    alloc::{GlobalAlloc, Layout, System},
    cell::Cell,
    fs,
    time::Duration,
};

/// The system's allocator, which notes what each thread holds.
struct Noting;

#[global_allocator]
static NOTING: Noting = Noting;

thread_local! {
    static HELD: Cell<isize> = const { Cell::new(0) };
    static MOST: Cell<isize> = const { Cell::new(0) };
}

fn note(more: isize) {
    // A thread that ends has nothing to note it in any more.
    let _ = HELD.try_with(|held| {
        let now = held.get() + more;
        held.set(now);
        let _ = MOST.try_with(|most| most.set(most.get().max(now)));
    });
}

// SAFETY: everything is handed on to the system's allocator as it came.
unsafe impl GlobalAlloc for Noting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        note(layout.size() as isize);
        unsafe { System.alloc(layout) }
    }

    unsafe fn alloc_zeroed(&self, layout: Layout) -> *mut u8 {
        note(layout.size() as isize);
        unsafe { System.alloc_zeroed(layout) }
    }

    unsafe fn dealloc(&self, place: *mut u8, layout: Layout) {
        note(-(layout.size() as isize));
        unsafe { System.dealloc(place, layout) }
    }

    unsafe fn realloc(&self, place: *mut u8, layout: Layout, size: usize) -> *mut u8 {
        note(size as isize - layout.size() as isize);
        unsafe { System.realloc(place, layout, size) }
    }
}

/// What was spent.
#[derive(Clone, Copy, Debug, Default)]
pub struct Spent {
    /// Time on the processor.
    pub cpu: Duration,
    /// The most bytes held at once beyond those before.
    pub bytes: u64,
}

/// Does the work on this thread and says what it took.
pub fn spent<T>(work: impl FnOnce() -> T) -> (T, Spent) {
    let before = HELD.get();
    MOST.set(before);
    let began = on_processor("thread-self");
    let done = work();
    let cpu = on_processor("thread-self").saturating_sub(began);
    (done, Spent { cpu, bytes: u64::try_from(MOST.get() - before).unwrap_or(0) })
}

/// How long a process, by its id, or this thread has been on a processor (`proc_pid_schedstat`: the first field is in
/// nanoseconds).
pub fn on_processor(process: &str) -> Duration {
    let text = fs::read_to_string(format!("/proc/{process}/schedstat")).expect("Linux counts it");
    Duration::from_nanos(text.split(' ').next().and_then(|field| field.parse().ok()).expect("nanoseconds"))
}

/// How long a process with all its threads has been on processors (proc(5): fields 14 and 15 of `stat`, in hundredths of
/// a second).
pub fn of_process(id: u32) -> Duration {
    let text = fs::read_to_string(format!("/proc/{id}/stat")).expect("it runs");
    let (_, fields) = text.rsplit_once(") ").expect("the name stands in brackets");
    let ticks: u64 = fields.split(' ').skip(11).take(2).map(|field| field.parse::<u64>().expect("ticks")).sum();
    Duration::from_millis(ticks * 10)
}

/// The most memory that a process has had resident, in bytes (proc(5): `VmHWM`).
pub fn most_resident(id: u32) -> u64 {
    let text = fs::read_to_string(format!("/proc/{id}/status")).expect("it runs");
    let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:")).expect("a line");
    line.trim().trim_end_matches(" kB").parse::<u64>().expect("a number") << 10
}
