//! The page as a browser gets it.
use super::{Settings, Table};

#[tokio::test]
async fn every_part_comes_with_the_strict_policy() {
    let table = Table::open(Settings::default()).await;
    let client = reqwest::Client::builder().no_proxy().build().expect("a client");
    let base = format!("http://{}", table.address);
    let html = client.get(&base).send().await.expect("an answer").text().await.expect("text");
    let mut whole = 0;
    let mut parts: Vec<String> = vec![
        "/".into(),
        "/card.js".into(),
        "/line.js".into(),
        "/words.js".into(),
        "/pick.js".into(),
        "/browse.js".into(),
        "/shell.js".into(),
    ];
    for (at, start) in html.match_indices("src=\"").chain(html.match_indices("href=\"")) {
        let rest = &html[at + start.len()..];
        parts.push(rest[..rest.find('"').expect("an end")].to_owned());
    }
    assert!(parts.len() >= 7, "{parts:?}");
    for part in parts {
        assert!(part.starts_with('/') && !part.starts_with("//"), "{part} comes from outside");
        let answer = client.get(format!("{base}{part}")).send().await.expect("an answer");
        assert_eq!(answer.status(), 200, "{part}");
        let policy = answer.headers()["content-security-policy"].to_str().expect("text").to_owned();
        assert!(policy.starts_with("default-src 'none'; script-src 'self'; style-src 'sha256-"), "{policy}");
        assert!(!policy.contains("unsafe") && !policy.contains('*') && !policy.contains("http"), "{policy}");
        assert_eq!(answer.headers()["x-content-type-options"], "nosniff");
        let text = answer.text().await.expect("text");
        whole += text.len();
        // Names of XML's own are addresses that nobody visits.
        let visited = text.replace("http://www.w3.org/2000/svg", "");
        assert!(!visited.contains("http://") && !visited.contains("https://"), "{part} names another place");
        assert!(!text.contains("innerHTML") && !text.contains("eval("), "{part}");
    }
    assert!(whole < 150_000, "{whole} bytes are too much for a slow line");
    // The one style sheet stands in the page, allowed by its hash (the browser's test sees that it is used); nothing else does.
    assert_eq!(html.matches("<style").count(), 1);
    let inline = [" style=", " onclick=", " onload=", "javascript:", "<script>"];
    assert!(!inline.iter().any(|inline| html.contains(inline)), "nothing inline");
    let missing = client.get(format!("{base}/nothing")).send().await.expect("an answer");
    assert_eq!(missing.status(), 404);
    assert!(missing.headers().contains_key("content-security-policy"));
}
