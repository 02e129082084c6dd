//! The client's address: the peer's, or what a trusted proxy says it is.
use axum::http::HeaderMap;
use ipnet::IpNet;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};

const FORWARDED_FOR: &str = "x-forwarded-for";

/// Walks the list of `X-Forwarded-For` from its end for as long as trusted proxies wrote it: the first address that
/// is no trusted proxy is the client. What stands before it anybody could have written.
pub fn client(headers: &HeaderMap, peer: Option<IpAddr>, trusted: &[IpNet]) -> IpAddr {
    let peer = peer.unwrap_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED)).to_canonical();
    let is_trusted = |address: IpAddr| trusted.iter().any(|net| net.contains(&address));
    if !is_trusted(peer) {
        return peer;
    }
    let said: Vec<&str> = headers
        .get_all(FORWARDED_FOR)
        .iter()
        .flat_map(|line| line.to_str().unwrap_or_default().split(','))
        .map(str::trim)
        .collect();
    let mut client = peer;
    for text in said.into_iter().rev() {
        let Some(address) = read(text) else { break };
        client = address.to_canonical();
        if !is_trusted(client) {
            break;
        }
    }
    client
}

/// An address as proxies write it: alone, in brackets, or with the port that it called from.
fn read(text: &str) -> Option<IpAddr> {
    let alone = || text.parse().ok();
    let in_brackets = || text.strip_prefix('[')?.strip_suffix(']')?.parse().ok().map(IpAddr::V6);
    let with_port = || text.parse::<SocketAddr>().ok().map(|address| address.ip());
    alone().or_else(in_brackets).or_else(with_port)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(peer: &str, forwarded: &[&str], expected: &str) {
        let mut headers = HeaderMap::new();
        for line in forwarded {
            headers.append(FORWARDED_FOR, line.parse().expect("a header"));
        }
        let trusted: Vec<IpNet> = ["10.0.0.0/8", "fd00::/8"].iter().map(|net| net.parse().expect("a net")).collect();
        let got = client(&headers, Some(peer.parse().expect("an address")), &trusted);
        assert_eq!(got, expected.parse::<IpAddr>().expect("an address"), "{peer} {forwarded:?}");
    }

    #[test]
    fn only_trusted_proxies_are_believed() {
        check("192.0.2.1", &["198.51.100.7"], "192.0.2.1");
        check("10.1.1.1", &["198.51.100.7"], "198.51.100.7");
        check("10.1.1.1", &["203.0.113.9, 198.51.100.7, 10.2.2.2"], "198.51.100.7");
        check("10.1.1.1", &["203.0.113.9", "198.51.100.7"], "198.51.100.7");
        check("10.1.1.1", &["nonsense"], "10.1.1.1");
        check("10.1.1.1", &["198.51.100.7, nonsense"], "10.1.1.1");
        check("10.1.1.1", &[], "10.1.1.1");
        check("10.1.1.1", &["198.51.100.7:5678"], "198.51.100.7");
        check("10.1.1.1", &["[2001:db8::5]:443, 10.2.2.2:80"], "2001:db8::5");
        check("10.1.1.1", &["[2001:db8::5]"], "2001:db8::5");
        check("10.1.1.1", &["198.51.100.7:"], "10.1.1.1");
        check("10.1.1.1", &["[198.51.100.7]"], "10.1.1.1");
        check("::ffff:10.1.1.1", &["2001:db8::5"], "2001:db8::5");
    }
}
