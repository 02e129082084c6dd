//! The real program, as a process of its own.
use std::{
    io::{BufRead, BufReader},
    path::PathBuf,
    process::{Child, Command, Stdio},
    sync::OnceLock,
};

/// A running `pipwright-api`; killed when dropped.
pub struct Program {
    child: Child,
    /// Where it listens, as `http://…`.
    pub address: String,
}

impl Program {
    /// Starts it with these settings beside a free port and no rate.
    pub fn start(settings: &[(&str, &str)]) -> Self {
        Self::start_with(settings, Stdio::inherit())
    }

    /// Starts it with its log written there.
    pub fn start_with(settings: &[(&str, &str)], log: Stdio) -> Self {
        let mut command = command();
        command.envs([("PIPWRIGHT_LISTEN", "127.0.0.1:0"), ("PIPWRIGHT_PER_SECOND", "0")]);
        command.envs(settings.iter().copied());
        let mut child = command.stdout(Stdio::piped()).stderr(log).spawn().expect("the program starts");
        let mut line = String::new();
        let output = child.stdout.take().expect("piped");
        BufReader::new(output).read_line(&mut line).expect("a line");
        let address = line.trim().strip_prefix("listening on ").expect("the line that says where").to_owned();
        Self { child, address }
    }

    /// Sends a signal: `-TERM`, `-HUP`.
    pub fn signal(&self, signal: &str) {
        let sent = Command::new("kill").args([signal, &self.child.id().to_string()]).status().expect("kill");
        assert!(sent.success());
    }

    /// Waits for its end; whether it ended well.
    pub fn wait(&mut self) -> bool {
        self.child.wait().expect("an end").success()
    }

    /// Its process.
    pub fn id(&self) -> u32 {
        self.child.id()
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The program, with nothing of the test's environment that could configure it.
pub fn command() -> Command {
    let mut command = Command::new(path());
    for (name, _) in std::env::vars().filter(|(name, _)| name.starts_with("PIPWRIGHT_")) {
        command.env_remove(name);
    }
    command
}

/// Both programs with the features that the tests were built with, so that nothing is built twice.
pub const BUILD: [&str; 5] = ["build", "--quiet", "--locked", "--workspace", "--bins"];

/// Beside the tests in the target folder; built, where it is not there or not new.
fn path() -> &'static PathBuf {
    static PATH: OnceLock<PathBuf> = OnceLock::new();
    PATH.get_or_init(|| {
        let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
        let built = Command::new(cargo).args(BUILD).status();
        assert!(built.expect("cargo runs").success(), "the program does not build");
        let tests = std::env::current_exe().expect("a path");
        tests.parent().and_then(|deps| deps.parent()).expect("target/debug").join("pipwright-api")
    })
}
