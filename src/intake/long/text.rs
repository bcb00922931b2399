//! Bytes of a file to text: which encoding it has, and whether it is text at all.

use encoding_rs::{UTF_16BE, UTF_16LE, WINDOWS_1252};

/// A file as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Decoded {
    pub(crate) text: String,
    /// The name of its encoding.
    pub(crate) encoding: &'static str,
}

/// What stands in a cell for bytes that are no character of the encoding.
pub(crate) const UNREADABLE: char = '\u{fffd}';

/// First bytes of files that are no text, and what they are.
const NOT_TEXT: [(&[u8], &str); 6] = [
    (
        b"PK\x03\x04",
        "a spreadsheet or another packed file; save the sheet as CSV",
    ),
    (
        b"\xd0\xcf\x11\xe0",
        "a spreadsheet of an old form; save the sheet as CSV",
    ),
    (b"%PDF", "a PDF; save the table as CSV"),
    (b"\x1f\x8b", "a packed file; unpack it first"),
    (b"SQLite format 3\0", "a database, not a CSV file"),
    (b"\x89PNG", "a picture, not a CSV file"),
];

/// What the bytes are where they are not text.
pub(crate) fn not_text(bytes: &[u8]) -> Option<&'static str> {
    let found = NOT_TEXT.iter().find(|(start, _)| bytes.starts_with(start));
    found.map(|(_, words)| *words)
}

/// The text of a file: a byte order mark says which encoding; without one it is UTF-8 where that is possible, else
/// Windows-1252, in which every byte means something.
pub(crate) fn decode(bytes: &[u8]) -> Decoded {
    let (text, encoding) = if let Some(rest) = bytes.strip_prefix(b"\xef\xbb\xbf") {
        (
            String::from_utf8_lossy(rest).into_owned(),
            "UTF-8 with byte order mark",
        )
    } else if let Some(rest) = bytes.strip_prefix(b"\xff\xfe") {
        (
            UTF_16LE.decode_without_bom_handling(rest).0.into_owned(),
            "UTF-16, little-endian",
        )
    } else if let Some(rest) = bytes.strip_prefix(b"\xfe\xff") {
        (
            UTF_16BE.decode_without_bom_handling(rest).0.into_owned(),
            "UTF-16, big-endian",
        )
    } else if let Ok(text) = std::str::from_utf8(bytes) {
        (text.to_string(), "UTF-8")
    } else {
        (
            WINDOWS_1252.decode_without_bom_handling(bytes).0.into_owned(),
            "Windows-1252",
        )
    };
    Decoded { text, encoding }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_encoding_reads_as_the_same_text() {
        let text = "oil;µm;größer";
        let wide = |to_bytes: fn(u16) -> [u8; 2]| text.encode_utf16().flat_map(to_bytes).collect::<Vec<u8>>();
        let with = |mark: &[u8], rest: &[u8]| [mark, rest].concat();
        let narrow: Vec<u8> = text.chars().map(|c| c as u8).collect();
        for (bytes, encoding) in [
            (text.as_bytes().to_vec(), "UTF-8"),
            (
                with(b"\xef\xbb\xbf", text.as_bytes()),
                "UTF-8 with byte order mark",
            ),
            (
                with(b"\xff\xfe", &wide(u16::to_le_bytes)),
                "UTF-16, little-endian",
            ),
            (with(b"\xfe\xff", &wide(u16::to_be_bytes)), "UTF-16, big-endian"),
            (narrow, "Windows-1252"),
        ] {
            let decoded = decode(&bytes);
            assert_eq!((decoded.text.as_str(), decoded.encoding), (text, encoding));
        }
    }

    #[test]
    fn a_spreadsheet_is_named_with_the_mend() {
        assert!(not_text(b"PK\x03\x04rest").is_some_and(|words| words.contains("CSV")));
        assert_eq!(not_text(b"blend,value"), None);
    }
}
