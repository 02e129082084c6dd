//! How an answer is written where others can reach it: with a version, its key and a seal, so that what was cut, altered,
//! misplaced, forged or written by another version is told from an answer.
//!
//! Without a secret the seal is a checksum, which tells damage from an answer; with one it is an HMAC (RFC 2104), which
//! nobody can make who does not have the secret.
use super::Key;
use crate::config::Secret;
use axum::body::Bytes;
use hmac::{Hmac, Mac};
use sha2::{Digest, Sha256};
use subtle::ConstantTimeEq;

const LONG: usize = 32;
/// The version, which changes whenever what stands behind it does.
const CHECKED: &[u8; 4] = b"pw1\n";
/// The same with a secret.
const SEALED: &[u8; 4] = b"pw2\n";
const HEAD: usize = CHECKED.len() + LONG;

/// What answers are sealed with.
#[derive(Clone, Default)]
pub struct Seal(Option<Hmac<Sha256>>);

impl Seal {
    /// A seal with this secret, or a checksum.
    pub fn new(secret: Option<&Secret>) -> Self {
        // A secret may be of any length (RFC 2104, section 3), so there is always one.
        Self(secret.and_then(|secret| Hmac::new_from_slice(secret.plain().as_bytes()).ok()))
    }

    /// The answer with its head before it.
    pub fn seal(&self, key: &Key, answer: &[u8]) -> Vec<u8> {
        let mut sealed = Vec::with_capacity(HEAD + answer.len());
        sealed.extend_from_slice(self.version());
        sealed.extend_from_slice(&self.mark(key, answer));
        sealed.extend_from_slice(answer);
        sealed
    }

    /// The answer, where it is whole, the key's own and sealed by one of us.
    pub fn open(&self, key: &Key, sealed: Vec<u8>) -> Option<Bytes> {
        let sealed = Bytes::from(sealed);
        let head = sealed.get(..HEAD)?;
        let (version, mark) = head.split_at(CHECKED.len());
        let answer = sealed.slice(HEAD..);
        (version == self.version() && bool::from(mark.ct_eq(&self.mark(key, &answer)))).then_some(answer)
    }

    fn version(&self) -> &'static [u8; 4] {
        if self.0.is_some() { SEALED } else { CHECKED }
    }

    fn mark(&self, key: &Key, answer: &[u8]) -> [u8; LONG] {
        match &self.0 {
            Some(secret) => {
                secret.clone().chain_update(key.bytes()).chain_update(answer).finalize().into_bytes().into()
            }
            None => Sha256::new().chain_update(key.bytes()).chain_update(answer).finalize().into(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(n: u8) -> Key {
        Key::of_spelling("", 0, &[n])
    }

    #[test]
    fn only_who_has_the_secret_can_seal() {
        let seal = |secret: &str| Seal::new(Some(&Secret::new(secret)));
        let (ours, theirs, none) = (seal("a secret of ours"), seal("a guess of theirs"), Seal::default());
        let sealed = ours.seal(&key(1), b"answer");
        assert_eq!(ours.open(&key(1), sealed.clone()).as_deref(), Some(&b"answer"[..]));
        assert!(ours.open(&key(2), sealed.clone()).is_none(), "of another question");
        for forger in [theirs, none] {
            assert!(ours.open(&key(1), forger.seal(&key(1), b"answer")).is_none());
            assert!(forger.open(&key(1), sealed.clone()).is_none());
        }
        for at in 0..sealed.len() {
            let mut altered = sealed.clone();
            altered[at] ^= 1;
            assert!(ours.open(&key(1), altered).is_none(), "byte {at}");
            assert!(ours.open(&key(1), sealed[..at].to_vec()).is_none(), "cut at {at}");
        }
    }

    /// RFC 4231, test case 2 (from memory): key `Jefe`, data `what do ya want for nothing?`.
    #[test]
    fn the_seal_is_the_hmac_of_the_standard() {
        let mac = Hmac::<Sha256>::new_from_slice(b"Jefe").expect("any length");
        let mark = mac.chain_update(b"what do ya want for nothing?").finalize().into_bytes();
        let hex: String = mark.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(hex, "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843");
    }
}
