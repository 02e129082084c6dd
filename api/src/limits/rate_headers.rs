//! What a caller is told of its rate: the `RateLimit` and `RateLimit-Policy` headers of the IETF's draft
//! "RateLimit header fields for HTTP" (draft-ietf-httpapi-ratelimit-headers-10). It may change, and these with it.
use super::rate::{Left, Rate};
use axum::http::{HeaderMap, HeaderName, HeaderValue};

const LIMIT: HeaderName = HeaderName::from_static("ratelimit");
const POLICY: HeaderName = HeaderName::from_static("ratelimit-policy");

/// A caller's rate and what is left of it.
#[derive(Clone, Copy, Debug)]
pub struct RateHeaders {
    /// The rate.
    pub rate: Rate,
    /// What is left.
    pub left: Left,
}

impl RateHeaders {
    /// Says it: `r` requests may come at once, and in `t` seconds it is as many as the policy's `q` again.
    pub fn write(&self, headers: &mut HeaderMap) {
        let Rate { per_second, burst } = self.rate;
        let whole = burst.max(1).div_ceil(per_second.max(1));
        let until_full = self.left.full_in.as_secs_f64().ceil();
        let lines = [
            (LIMIT, format!("\"rate\";r={};t={until_full}", self.left.remaining)),
            (POLICY, format!("\"rate\";q={};w={whole}", burst.max(1))),
        ];
        for (name, text) in lines {
            if let Ok(value) = HeaderValue::try_from(text) {
                headers.insert(name, value);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn as_the_draft_writes_it() {
        let rate = Rate { per_second: 50, burst: 200 };
        let left = Left { remaining: 130, full_in: Duration::from_millis(1_400) };
        let mut headers = HeaderMap::new();
        RateHeaders { rate, left }.write(&mut headers);
        assert_eq!(headers[LIMIT], "\"rate\";r=130;t=2");
        assert_eq!(headers[POLICY], "\"rate\";q=200;w=4");
    }
}
