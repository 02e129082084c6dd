//! Several Redis servers that belong together: a cluster, or one with a replica and a sentinel; and one over TLS.
use super::{Redis, free_port};
use rcgen::{BasicConstraints, CertificateParams, CertifiedIssuer, IsCa, KeyPair};
use std::{
    fs,
    path::PathBuf,
    thread::sleep,
    time::{Duration, Instant},
};
use tempfile::TempDir;

/// Three nodes that share the keys.
pub struct Cluster(pub Vec<Redis>);

impl Cluster {
    /// Starts it, or says loudly that it cannot.
    pub fn start(more: &[&str]) -> Option<Self> {
        let node = |_| {
            let bus = free_port().to_string();
            let mut arguments =
                vec!["--cluster-enabled", "yes", "--cluster-port", &bus, "--cluster-node-timeout", "500"];
            arguments.extend(more);
            Redis::start(&arguments)
        };
        let nodes: Vec<Redis> = (0..3).map(node).collect::<Option<_>>()?;
        let addresses: Vec<String> = nodes.iter().map(|node| format!("127.0.0.1:{}", node.port())).collect();
        let mut create = vec!["--cluster", "create"];
        create.extend(addresses.iter().map(String::as_str));
        create.extend(["--cluster-replicas", "0", "--cluster-yes"]);
        let made = nodes[0].cli(&create);
        wait(
            "the cluster",
            || nodes.iter().all(|node| node.cli(&["cluster", "info"]).contains("cluster_state:ok")),
            &made,
        );
        Some(Self(nodes))
    }

    /// Where it is.
    pub fn url(&self) -> String {
        let nodes: Vec<String> = self.0.iter().map(|node| format!("127.0.0.1:{}", node.port())).collect();
        format!("redis+cluster://{}", nodes.join(","))
    }
}

/// A server, its replica, and a sentinel that puts the one in the place of the other.
pub struct Guarded {
    /// The first server.
    pub first: Redis,
    /// What takes its place.
    pub second: Redis,
    sentinel: Redis,
}

impl Guarded {
    /// Starts them, or says loudly that it cannot.
    pub fn start() -> Option<Self> {
        let first = Redis::start(&[])?;
        let port = first.port().to_string();
        let second = Redis::start(&["--replicaof", &format!("127.0.0.1 {port}"), "--repl-diskless-sync-delay", "0"])?;
        let settings = [
            format!("sentinel monitor table 127.0.0.1 {port} 1"),
            "sentinel down-after-milliseconds table 300".to_owned(),
            "sentinel failover-timeout table 1000".to_owned(),
        ];
        let sentinel = Redis::sentinel(&settings.join("\n"));
        wait("the replica", || second.cli(&["info", "replication"]).contains("master_link_status:up"), "");
        let knows = || sentinel.cli(&["sentinel", "replicas", "table"]).contains(&second.port().to_string());
        wait("the sentinel", knows, "");
        Some(Self { first, second, sentinel })
    }

    /// Where they are.
    pub fn url(&self) -> String {
        format!("redis+sentinel://127.0.0.1:{}/table", self.sentinel.port())
    }
}

/// A server that only speaks TLS, with a certificate of an authority made for it.
pub struct Tls {
    /// The server.
    pub redis: Redis,
    port: String,
    folder: TempDir,
}

impl Tls {
    /// Starts it, or says loudly that it cannot.
    pub fn start() -> Option<Self> {
        let folder = tempfile::tempdir().expect("a folder");
        let file = |name: &str| folder.path().join(name).to_string_lossy().into_owned();
        let mut authority = CertificateParams::default();
        authority.is_ca = IsCa::Ca(BasicConstraints::Unconstrained);
        let authority =
            CertifiedIssuer::self_signed(authority, KeyPair::generate().expect("a key")).expect("an authority");
        let key = KeyPair::generate().expect("a key");
        let own = CertificateParams::new(["localhost".to_owned(), "127.0.0.1".to_owned()]).expect("names");
        let own = own.signed_by(&key, &authority).expect("a certificate");
        fs::write(file("authority.pem"), authority.pem()).expect("written");
        fs::write(file("own.pem"), own.pem()).expect("written");
        fs::write(file("key.pem"), key.serialize_pem()).expect("written");
        let port = free_port().to_string();
        let (own, key, ca) = (file("own.pem"), file("key.pem"), file("authority.pem"));
        let tls = ["--tls-port", &port, "--tls-cert-file", &own, "--tls-key-file", &key, "--tls-ca-cert-file", &ca];
        let redis = Redis::start(&[&tls[..], &["--tls-auth-clients", "no"]].concat())?;
        wait("TLS", || std::net::TcpStream::connect(format!("127.0.0.1:{port}")).is_ok(), &port);
        Some(Self { redis, port, folder })
    }

    /// Where it is.
    pub fn url(&self) -> String {
        format!("rediss://127.0.0.1:{}", self.port)
    }

    /// Its authority.
    pub fn authority(&self) -> PathBuf {
        self.folder.path().join("authority.pem")
    }
}

#[track_caller]
fn wait(what: &str, is_up: impl Fn() -> bool, said: &str) {
    let end = Instant::now() + Duration::from_secs(20);
    while !is_up() {
        assert!(Instant::now() < end, "{what} did not come up: {said}");
        sleep(Duration::from_millis(50));
    }
}
