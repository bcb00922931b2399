//! Requests by hand: HTTP/1.1 (RFC 9112), for the driver's commands that the client does not know and for pages that no
//! browser is needed for.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::time::Duration;

/// What came back.
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) kind: String,
    pub(crate) body: String,
}

/// Asks for a page of a server whose address is `http://` with host and port.
pub(crate) fn get(address: &str, path: &str) -> Answer {
    ask(address.trim_start_matches("http://"), "GET", path, "")
}

/// Sends JSON to a port of this machine.
pub(crate) fn post(port: u16, path: &str, body: &str) -> String {
    ask(&format!("127.0.0.1:{port}"), "POST", path, body).body
}

/// Asks the driver on a port of this machine to end something.
pub(crate) fn delete(port: u16, path: &str) -> String {
    ask(&format!("127.0.0.1:{port}"), "DELETE", path, "").body
}

/// The connection may stay open, so that the answer is read by its length; a server that says nothing fails the test
/// instead of holding it.
fn ask(host: &str, method: &str, path: &str, body: &str) -> Answer {
    let mut stream = TcpStream::connect(host).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(120))).unwrap();
    let request = format!(
        "{method} {path} HTTP/1.1\r\nHost: {host}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
        body.len()
    );
    stream.write_all(request.as_bytes()).unwrap();
    let mut reader = BufReader::new(stream);
    let mut head = Vec::new();
    loop {
        let mut line = String::new();
        reader.read_line(&mut line).unwrap();
        if line.trim().is_empty() {
            break;
        }
        head.push(line.trim().to_string());
    }
    let of = |name: &str| {
        let mut fields = head.iter().filter_map(|line| line.split_once(':'));
        let found = fields.find(|(key, _)| key.eq_ignore_ascii_case(name));
        found.map_or(String::new(), |(_, value)| value.trim().to_string())
    };
    let mut content = vec![0; of("content-length").parse().unwrap_or(0)];
    reader.read_exact(&mut content).unwrap();
    Answer {
        status: head[0].split(' ').nth(1).unwrap().parse().unwrap(),
        kind: of("content-type"),
        body: String::from_utf8(content).unwrap(),
    }
}
