//! What is the same for everybody: known again by its tag, kept, and compressed once.
use pipwright_tests::service::Service;
use reqwest::{
    Client,
    header::{ACCEPT_ENCODING, CACHE_CONTROL, CONTENT_ENCODING, CONTENT_TYPE, ETAG, IF_NONE_MATCH, VARY},
};
use std::process::{Command, Stdio};

const PAGES: [(&str, &str); 10] = [
    ("/docs", "text/html; charset=utf-8"),
    ("/docs/problems", "text/html; charset=utf-8"),
    ("/docs/problems/bad-value", "text/html; charset=utf-8"),
    ("/openapi.json", "application/json"),
    ("/packs.schema.json", "application/schema+json"),
    ("/docs/try/", "text/html"),
    ("/docs/try/swagger-ui-bundle.js", "text/javascript"),
    ("/workshop", "text/html; charset=utf-8"),
    ("/workshop/workshop.css", "text/css; charset=utf-8"),
    ("/workshop/vendor.js", "text/javascript; charset=utf-8"),
];

#[tokio::test(flavor = "multi_thread")]
async fn pages_have_a_tag_and_may_be_kept() {
    let service = Service::plain().await;
    let client = Client::builder().no_gzip().build().expect("a client");
    for (path, kind) in PAGES {
        let get = || client.get(service.url(path));
        let plain = get().send().await.expect("a response");
        assert_eq!((plain.status().as_u16(), &plain.headers()[CONTENT_TYPE]), (200, &kind.parse().expect("a kind")));
        let headers = plain.headers().clone();
        assert_eq!(headers[CACHE_CONTROL], "public, max-age=300", "{path}");
        assert_eq!(
            (&headers[VARY], headers.contains_key(CONTENT_ENCODING)),
            (&"accept-encoding".parse().expect("a name"), false)
        );
        let body = plain.bytes().await.expect("bytes");
        let packed = get().header(ACCEPT_ENCODING, "gzip").send().await.expect("a response");
        let tags = [headers[ETAG].clone(), packed.headers()[ETAG].clone()];
        if packed.headers().contains_key(CONTENT_ENCODING) {
            assert_ne!(tags[0], tags[1], "{path}: other bytes, another tag");
            let packed = packed.bytes().await.expect("bytes");
            assert!(packed.len() < body.len(), "{path}");
            assert_eq!(unpacked(&packed), body, "{path}");
        } else {
            assert!(body.len() < 300, "{path}: {} bytes are worth it", body.len());
        }
        for tag in tags {
            let known = get().header(ACCEPT_ENCODING, "gzip").header(IF_NONE_MATCH, &tag).send().await;
            let known = known.expect("a response");
            assert_eq!((known.status().as_u16(), &known.headers()[ETAG]), (304, &tag), "{path}");
            assert!(known.bytes().await.expect("bytes").is_empty());
        }
        let other = get().header(IF_NONE_MATCH, "\"other\"").send().await.expect("a response");
        assert_eq!(other.status(), 200, "{path}");
    }
    assert_eq!(client.get(service.url("/docs/try/none.js")).send().await.expect("a response").status(), 404);
}

/// By another program than the one that packed it.
fn unpacked(packed: &[u8]) -> Vec<u8> {
    let file = tempfile::NamedTempFile::new().expect("a file");
    std::fs::write(file.path(), packed).expect("written");
    let input = std::fs::File::open(file.path()).expect("there");
    let output = Command::new("gzip").arg("-dc").stdin(Stdio::from(input)).output().expect("gzip is on every Debian");
    assert!(output.status.success());
    output.stdout
}
