//! How an answer is written where others can reach it: with a version, its key and a checksum, so that what was
//! cut, altered, misplaced or written by another version is told from an answer.
use super::Key;
use axum::body::Bytes;
use sha2::{Digest, Sha256};

/// Changes whenever what stands behind it does.
const VERSION: &[u8; 4] = b"pw1\n";
const HEAD: usize = VERSION.len() + 32;

/// The answer with its head before it.
pub fn seal(key: &Key, answer: &[u8]) -> Vec<u8> {
    let mut sealed = Vec::with_capacity(HEAD + answer.len());
    sealed.extend_from_slice(VERSION);
    sealed.extend_from_slice(&checksum(key, answer));
    sealed.extend_from_slice(answer);
    sealed
}

/// The answer, where it is whole and the key's own.
pub fn open(key: &Key, sealed: Vec<u8>) -> Option<Bytes> {
    let sealed = Bytes::from(sealed);
    let head = sealed.get(..HEAD)?;
    let (version, sum) = head.split_at(VERSION.len());
    let answer = sealed.slice(HEAD..);
    (version == VERSION && sum == checksum(key, &answer)).then_some(answer)
}

fn checksum(key: &Key, answer: &[u8]) -> [u8; 32] {
    Sha256::new().chain_update(key.bytes()).chain_update(answer).finalize().into()
}
