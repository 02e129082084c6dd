//! A real Redis server on a free port, which a test may kill, stop and start again.
use std::{
    net::TcpListener,
    process::{Child, Command, Stdio},
    thread::sleep,
    time::{Duration, Instant},
};
use tempfile::TempDir;

pub mod group;

/// A running server.
pub struct Redis {
    child: Child,
    port: u16,
    folder: TempDir,
    arguments: Vec<String>,
}

impl Redis {
    /// Starts one, or says loudly that there is none on this machine.
    pub fn start(arguments: &[&str]) -> Option<Self> {
        if Command::new("redis-server").arg("--version").output().is_err() {
            eprintln!("NOT TESTED: redis-server is not on this machine (tests/run installs it)");
            return None;
        }
        let folder = tempfile::tempdir().expect("a folder");
        let port = free_port();
        let arguments: Vec<String> = arguments.iter().map(|argument| (*argument).to_owned()).collect();
        let child = spawn(port, &folder, &arguments);
        let server = Self { child, port, folder, arguments };
        server.wait();
        Some(server)
    }

    /// Starts a sentinel with these settings.
    fn sentinel(settings: &str) -> Self {
        let (folder, port) = (tempfile::tempdir().expect("a folder"), free_port());
        let file = folder.path().join("sentinel.conf");
        std::fs::write(&file, format!("port {port}\nbind 127.0.0.1\n{settings}\n")).expect("written");
        let mut command = Command::new("redis-server");
        command.arg(&file).arg("--sentinel").stdout(Stdio::null()).stderr(Stdio::null());
        let child = command.spawn().expect("redis-server starts");
        let sentinel = Self { child, port, folder, arguments: Vec::new() };
        sentinel.wait();
        sentinel
    }

    /// Where it listens.
    pub fn url(&self) -> String {
        format!("redis://127.0.0.1:{}", self.port)
    }

    /// Its port.
    pub fn port(&self) -> u16 {
        self.port
    }

    /// Sends a command and returns what is printed.
    pub fn cli(&self, arguments: &[&str]) -> String {
        let port = self.port.to_string();
        let output = Command::new("redis-cli").args(["-p", &port]).args(arguments).output().expect("redis-cli");
        String::from_utf8_lossy(&output.stdout).trim().to_owned()
    }

    /// SIGKILL.
    pub fn kill(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }

    /// SIGSTOP: it holds its connections and says nothing.
    pub fn freeze(&self) {
        self.signal("-STOP");
    }

    /// SIGCONT.
    pub fn thaw(&self) {
        self.signal("-CONT");
    }

    /// Starts it again on the same port, empty.
    pub fn restart(&mut self) {
        self.kill();
        self.child = spawn(self.port, &self.folder, &self.arguments);
        self.wait();
    }

    fn signal(&self, signal: &str) {
        let sent = Command::new("kill").args([signal, &self.child.id().to_string()]).status().expect("kill");
        assert!(sent.success());
    }

    fn wait(&self) {
        let end = Instant::now() + Duration::from_secs(10);
        // A server with a password says so; it is up all the same.
        while !["PONG", "NOAUTH"].iter().any(|up| self.cli(&["ping"]).starts_with(up)) {
            assert!(Instant::now() < end, "redis-server did not start");
            sleep(Duration::from_millis(20));
        }
    }
}

impl Drop for Redis {
    fn drop(&mut self) {
        self.kill();
    }
}

fn spawn(port: u16, folder: &TempDir, arguments: &[String]) -> Child {
    let mut command = Command::new("redis-server");
    command.args(["--port", &port.to_string(), "--bind", "127.0.0.1", "--save", "", "--appendonly", "no"]);
    command.arg("--dir").arg(folder.path()).args(arguments);
    command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().expect("redis-server starts")
}

/// A port that is free now.
pub fn free_port() -> u16 {
    TcpListener::bind("127.0.0.1:0").and_then(|listener| listener.local_addr()).expect("a free port").port()
}
