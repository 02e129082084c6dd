//! What names a pack by its content: `sha256:` and its whole hash, or a pack's name, `@` and the beginning of its hash.
use super::model::Pack;
use super::names::plain;

/// The fewest digits of a hash that pin a version of a pack.
pub const SHORTEST: usize = 8;
/// The digits of a whole hash.
pub const WHOLE: usize = 64;
/// What a whole hash stands behind.
const PREFIX: &str = "sha256:";

/// A pack's content, as a request names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Address {
    /// The name that the pack must bear, where one stands before the hash.
    pub name: Option<String>,
    /// The whole hash or its beginning, in small hexadecimal digits.
    pub hash: String,
}

/// Why a text that looks like an address is none.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum AddressError {
    /// What stands behind `sha256:` is no whole hash.
    #[error("a pack's content address is sha256: and {WHOLE} hexadecimal digits")]
    NotWhole,
    /// What stands behind the `@` is no beginning of a hash.
    #[error("behind a pack's name and @ stand the first {SHORTEST} to {WHOLE} hexadecimal digits of its hash")]
    NotABeginning,
    /// Nothing stands before the `@`.
    #[error("before the @ stands the pack's name; a whole hash can stand alone as sha256:…")]
    NoName,
}

impl Address {
    /// The content that a text names; nothing where the text can only be a name.
    pub fn read(text: &str) -> Option<Result<Self, AddressError>> {
        let text = text.trim();
        if let Some(hash) = text.strip_prefix(PREFIX) {
            let whole = is_hash(hash) && hash.len() == WHOLE;
            return Some(whole.then(|| Self::of(None, hash)).ok_or(AddressError::NotWhole));
        }
        let (name, hash) = text.rsplit_once('@')?;
        Some(match (plain(name).is_empty(), is_hash(hash)) {
            (_, false) => Err(AddressError::NotABeginning),
            (true, _) => Err(AddressError::NoName),
            (false, true) => Ok(Self::of(Some(name.trim().to_owned()), hash)),
        })
    }

    fn of(name: Option<String>, hash: &str) -> Self {
        Self { name, hash: hash.to_ascii_lowercase() }
    }

    /// Whether a pack bears the name that is asked for.
    pub fn is_name_of(&self, pack: &Pack) -> bool {
        let Some(name) = &self.name else { return true };
        let name = plain(name);
        let own = [&pack.named.id, &pack.named.label].into_iter().chain(&pack.named.also);
        own.into_iter().any(|other| plain(other) == name)
    }
}

/// The address of a content with this hash.
pub fn of_content(hash: &str) -> String {
    format!("{PREFIX}{hash}")
}

fn is_hash(text: &str) -> bool {
    (SHORTEST..=WHOLE).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_hexdigit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_hashes_and_pinned_names_are_addresses() {
        let hash = "0123456789abcdef".repeat(4);
        let whole = Address::read(&format!("sha256:{}", hash.to_uppercase()));
        assert_eq!(whole, Some(Ok(Address { name: None, hash: hash.clone() })));
        let pinned = Address::read("Our Club@01234567");
        assert_eq!(pinned, Some(Ok(Address { name: Some("Our Club".to_owned()), hash: "01234567".to_owned() })));
        assert_eq!(Address::read("our-club"), None);
        assert_eq!(Address::read(&format!("sha256:{}", &hash[1..])), Some(Err(AddressError::NotWhole)));
        assert_eq!(Address::read("sha256:"), Some(Err(AddressError::NotWhole)));
        assert_eq!(Address::read("our-club@0123456"), Some(Err(AddressError::NotABeginning)));
        assert_eq!(Address::read("our-club@winter"), Some(Err(AddressError::NotABeginning)));
        assert_eq!(Address::read("@01234567"), Some(Err(AddressError::NoName)));
    }
}
