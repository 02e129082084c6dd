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
        Self::spawn(command(), settings, log)
    }

    /// Starts another program of the workspace that is configured and speaks like this one.
    pub fn other(name: &str, settings: &[(&str, &str)]) -> Self {
        Self::spawn(clean(built(name)), settings, Stdio::inherit())
    }

    fn spawn(mut command: Command, settings: &[(&str, &str)], log: Stdio) -> Self {
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

    /// Whether it has not ended.
    pub fn is_alive(&mut self) -> bool {
        self.child.try_wait().expect("a child").is_none()
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
    clean(path())
}

fn clean(program: PathBuf) -> Command {
    let mut command = Command::new(program);
    for (name, _) in std::env::vars().filter(|(name, _)| name.starts_with("PIPWRIGHT_")) {
        command.env_remove(name);
    }
    command
}

/// The service's program.
fn path() -> PathBuf {
    built("pipwright-api")
}

/// A program of the workspace, beside the tests in the target folder; built, where it is not there or not new.
pub fn built(name: &str) -> PathBuf {
    static FOLDER: OnceLock<PathBuf> = OnceLock::new();
    let folder = FOLDER.get_or_init(|| {
        // Both programs, with the features that the tests were built with, so that nothing is built twice.
        let mut cargo = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
        cargo.args(["build", "--quiet", "--locked", "--workspace", "--bins", "--manifest-path"]);
        cargo.arg(concat!(env!("CARGO_MANIFEST_DIR"), "/../Cargo.toml"));
        if !cfg!(debug_assertions) {
            cargo.arg("--release");
        }
        // What cargo says of the tests' own package some build scripts would take for a change.
        let ours = |name: &str| {
            ["CARGO_PKG_", "CARGO_MANIFEST_", "CARGO_CRATE_", "CARGO_BIN_"].iter().any(|b| name.starts_with(b))
        };
        for (name, _) in std::env::vars().filter(|(name, _)| ours(name)) {
            cargo.env_remove(name);
        }
        assert!(cargo.status().expect("cargo runs").success(), "the programs do not build");
        // The tests' own program lies in `deps` below the folder of the programs.
        let tests = std::env::current_exe().expect("a test has a program");
        tests.parent().and_then(|deps| deps.parent()).expect("two folders up").to_owned()
    });
    folder.join(name)
}
