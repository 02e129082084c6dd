//! API keys. Only their hashes are known here, and they are compared in a time that tells nothing.
use super::rate::Rate;
use crate::config::ApiKey;
use axum::http::{HeaderMap, header};
use sha2::{Digest, Sha256};
use subtle::ConstantTimeEq;

const API_KEY: &str = "x-api-key";

/// The keys of the configuration.
pub struct Keys(Vec<([u8; 32], Known)>);

/// Whose key it is.
#[derive(Clone, Copy, Debug)]
pub struct Known {
    /// Its place in the configuration.
    pub index: usize,
    /// Its own rate.
    pub rate: Rate,
}

impl Keys {
    /// The keys whose hashes can be read; the configuration has refused the others.
    pub fn new(keys: &[ApiKey]) -> Self {
        let known = keys.iter().enumerate().filter_map(|(index, key)| {
            let rate = Rate { per_second: key.per_second, burst: key.burst };
            Some((hash(&key.sha256)?, Known { index, rate }))
        });
        Self(known.collect())
    }

    /// Whose key this is. Every hash is looked at, however early one fits.
    pub fn find(&self, key: &str) -> Option<Known> {
        let presented: [u8; 32] = Sha256::digest(key).into();
        let fitting = |hash: &[u8; 32]| bool::from(hash.ct_eq(&presented));
        self.0.iter().fold(None, |found, (hash, known)| if fitting(hash) { Some(*known) } else { found })
    }
}

/// The key that the request carries: `Authorization: Bearer …` or `X-Api-Key: …`.
pub fn presented(headers: &HeaderMap) -> Option<String> {
    let bearer = headers.get(header::AUTHORIZATION).and_then(|value| {
        let (scheme, key) = value.to_str().ok()?.split_once(' ')?;
        scheme.eq_ignore_ascii_case("bearer").then(|| key.trim().to_owned())
    });
    bearer.or_else(|| headers.get(API_KEY).map(|value| value.to_str().unwrap_or_default().to_owned()))
}

/// The bytes of a hash written in hexadecimal.
pub fn hash(hex: &str) -> Option<[u8; 32]> {
    if hex.len() != 64 || !hex.is_ascii() {
        return None;
    }
    let mut bytes = [0; 32];
    for (index, byte) in bytes.iter_mut().enumerate() {
        *byte = u8::from_str_radix(&hex[2 * index..2 * index + 2], 16).ok()?;
    }
    Some(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4 example: the hash of `abc`, from memory.
    const OF_ABC: &str = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

    #[test]
    fn a_key_is_found_by_its_hash() {
        let key = ApiKey { name: "a".into(), sha256: OF_ABC.into(), per_second: 7, burst: 9 };
        let keys = Keys::new(&[key]);
        assert_eq!(keys.find("abc").map(|known| known.rate), Some(Rate { per_second: 7, burst: 9 }));
        assert!(keys.find("abd").is_none() && keys.find("").is_none());
    }

    #[test]
    fn a_key_may_stand_in_either_header() {
        for (name, value, key) in [
            ("authorization", "Bearer abc", Some("abc")),
            ("authorization", "bearer abc", Some("abc")),
            ("authorization", "Basic abc", None),
            ("x-api-key", "abc", Some("abc")),
        ] {
            let mut headers = HeaderMap::new();
            headers.insert(name, value.parse().expect("a header"));
            assert_eq!(presented(&headers).as_deref(), key, "{name}: {value}");
        }
    }

    #[test]
    fn only_64_hexadecimal_digits_are_a_hash() {
        assert!(hash(OF_ABC).is_some());
        assert!(hash(&OF_ABC[1..]).is_none() && hash(&OF_ABC.replace('b', "g")).is_none() && hash("").is_none());
    }
}
