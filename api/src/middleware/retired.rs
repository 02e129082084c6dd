//! What is to go: said by the `Deprecation` (RFC 9745) and `Sunset` (RFC 8594) headers of its responses and in the
//! contract, at least six months before. Nothing is at present.
use axum::http::{HeaderMap, HeaderName, HeaderValue, header};

const DEPRECATION: HeaderName = HeaderName::from_static("deprecation");
const SUNSET: HeaderName = HeaderName::from_static("sunset");

/// A path that will go.
#[derive(Clone, Copy, Debug)]
pub struct Retired {
    /// As the contract writes it.
    pub path: &'static str,
    /// Since when it should not be used any more: `@` and the seconds since 1970.
    pub since: &'static str,
    /// When it goes, as an HTTP date.
    pub until: &'static str,
    /// What to use instead.
    pub instead: &'static str,
}

/// All of them.
pub const RETIRED: &[Retired] = &[];

/// Says so on a response of the path.
pub fn announce(retired: &[Retired], path: &str, headers: &mut HeaderMap) {
    for going in retired.iter().filter(|going| going.path == path) {
        headers.insert(DEPRECATION, HeaderValue::from_static(going.since));
        headers.insert(SUNSET, HeaderValue::from_static(going.until));
        if let Ok(link) = HeaderValue::try_from(format!("<{}>; rel=\"successor-version\"", going.instead)) {
            headers.append(header::LINK, link);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The dates are those of the examples in RFC 9745, 2.1, and RFC 8594, 3.
    #[test]
    fn what_goes_says_so_and_nothing_else_does() {
        let (since, until) = ("@1688169599", "Sat, 31 Dec 2018 23:59:59 GMT");
        let going = [Retired { path: "/v1/old", since, until, instead: "/v1/new" }];
        let mut headers = HeaderMap::new();
        announce(&going, "/v1/other", &mut headers);
        assert!(headers.is_empty());
        announce(&going, "/v1/old", &mut headers);
        assert_eq!(
            (&headers[DEPRECATION], &headers[SUNSET]),
            (&HeaderValue::from_static(since), &HeaderValue::from_static(until))
        );
        assert_eq!(headers[header::LINK], "</v1/new>; rel=\"successor-version\"");
    }
}
