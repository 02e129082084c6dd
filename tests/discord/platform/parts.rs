//! Reading of `multipart/form-data` (RFC 7578), as much of it as the client library writes.
use serde_json::Value;

/// The JSON of a body, and the files with it.
pub fn parts(kind: &str, bytes: &[u8]) -> (Value, Vec<(String, Vec<u8>)>) {
    let Some(boundary) = kind.strip_prefix("multipart/form-data; boundary=") else {
        return (serde_json::from_slice(bytes).unwrap_or(Value::Null), Vec::new());
    };
    let mark = format!("--{boundary}");
    let (mut body, mut files) = (Value::Null, Vec::new());
    let mut rest = bytes;
    while let Some(start) = find(rest, mark.as_bytes()) {
        rest = &rest[start + mark.len()..];
        let Some(end) = find(rest, mark.as_bytes()) else { break };
        // Between two marks: a line's end, the head, an empty line, the content, a line's end.
        let part = &rest[2..end - 2];
        let head_end = find(part, b"\r\n\r\n").expect("a head");
        let head = String::from_utf8_lossy(&part[..head_end]).into_owned();
        let content = &part[head_end + 4..];
        if head.contains("name=\"payload_json\"") {
            body = serde_json::from_slice(content).expect("JSON");
        } else {
            let name = head.split("filename=\"").nth(1).and_then(|rest| rest.split('"').next()).unwrap_or_default();
            assert!(head.contains("name=\"files["), "files are named by their place: {head}");
            files.push((name.to_owned(), content.to_vec()));
        }
    }
    (body, files)
}

fn find(bytes: &[u8], wanted: &[u8]) -> Option<usize> {
    bytes.windows(wanted.len()).position(|window| window == wanted)
}
