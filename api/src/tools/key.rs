//! `pipwright-api key new`: a key for a caller with a rate of its own. The key is shown once; the service keeps its hash.
use clap::{Args, Subcommand};
use sha2::{Digest, Sha256};
use std::io::{self, Write};

/// What to do with keys.
#[derive(Args, Debug)]
pub struct Arguments {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Make a key: printed once, with the lines that make it known to the service.
    New(New),
}

#[derive(Args, Debug)]
struct New {
    /// Whose key it is.
    name: String,
    /// Requests a second; 0: no limit.
    #[arg(long, default_value_t = 200)]
    per_second: u32,
    /// How many of them may come at once.
    #[arg(long, default_value_t = 1_000)]
    burst: u32,
}

/// Makes a key and tells it.
///
/// # Errors
/// Where the system has no randomness to give, or nobody reads.
pub fn run(arguments: &Arguments, out: &mut impl Write) -> io::Result<()> {
    let What::New(New { name, per_second, burst }) = &arguments.what;
    let mut bytes = [0; 32];
    getrandom::fill(&mut bytes).map_err(io::Error::other)?;
    let key = format!("pw_{}", hexadecimal(&bytes));
    let sha256 = hexadecimal(&Sha256::digest(&key));
    let entry = crate::config::ApiKey { name: name.clone(), sha256, per_second: *per_second, burst: *burst };
    let entry = toml::to_string(&entry).map_err(io::Error::other)?;
    writeln!(out, "# The key, shown this once. It goes into the header Authorization: Bearer … or X-Api-Key: …")?;
    writeln!(out, "# {key}")?;
    write!(out, "# These lines go into the service's settings file:\n[[keys]]\n{entry}")
}

fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}
