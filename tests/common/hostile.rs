//! Strings that people and programs write into fields, and that have broken other programs.

#![allow(dead_code, reason = "every test file uses another part of it")]

/// More than a hundred of them.
pub(crate) fn strings() -> Vec<String> {
    let mut all: Vec<String> = TEXTS.iter().map(|text| (*text).to_owned()).collect();
    // Each control character, alone and within words.
    all.extend((0_u8..32).chain([127]).map(|code| format!("a{}b", char::from(code))));
    all.extend(["\u{80}", "\u{85}", "\u{9f}"].map(|code| format!("a{code}b")));
    // What reorders, joins, hides or breaks lines.
    for code in [
        '\u{200b}',
        '\u{200d}',
        '\u{200e}',
        '\u{200f}',
        '\u{202a}',
        '\u{202e}',
        '\u{2028}',
        '\u{2029}',
        '\u{2066}',
        '\u{2069}',
        '\u{feff}',
        '\u{fffd}',
        '\u{fffe}',
        '\u{e0001}',
        '\u{10ffff}',
    ] {
        all.push(format!("{code}name{code}"));
    }
    all.push("x".repeat(100_000));
    all.push("é".repeat(1000));
    all.push("🎂".repeat(500));
    all.push(format!("e{}", "\u{301}".repeat(1000)));
    all.push("[".repeat(10_000));
    all.push("\"".repeat(333));
    all.push("\\".repeat(333));
    all.push(";,".repeat(333));
    all
}

const TEXTS: &[&str] = &[
    "",
    " ",
    "\r\n",
    "a\r\nb",
    "a\nb\rc",
    "\t=1+1",
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "<svg/onload=alert(1)>",
    "<svg><animate onbegin=alert(1) attributeName=x dur=1s>",
    "\"><script>alert(1)</script>",
    "'><img src=x onerror=alert(1)>",
    "</title><script>alert(1)</script>",
    "</textarea><script>alert(1)</script>",
    "<iframe src=javascript:alert(1)>",
    "<a href=\"javascript:alert(1)\">x</a>",
    "javascript:alert(1)",
    "data:text/html,<script>alert(1)</script>",
    "vbscript:msgbox(1)",
    "<!--<img src=\"--><img src=x onerror=alert(1)//\">",
    "<math><mtext></form><form><mglyph><style></math><img src onerror=alert(1)>",
    "<body onload=alert(1)>",
    "<link rel=stylesheet href=//example.invalid/x.css>",
    "<base href=//example.invalid/>",
    "<meta http-equiv=refresh content=0;url=//example.invalid>",
    "{{constructor.constructor('alert(1)')()}}",
    "${alert(1)}",
    "#{7*7}",
    "<%= 7*7 %>",
    "&lt;script&gt;",
    "&#60;script&#62;",
    "&amp;amp;",
    "%3Cscript%3Ealert(1)%3C/script%3E",
    "%00",
    "%0d%0aSet-Cookie: a=b",
    "' OR '1'='1",
    "'; DROP TABLE orders; --",
    "=1+1",
    "=cmd|' /C calc'!A0",
    "+1+1",
    "-1+1",
    "@SUM(1,1)",
    "=HYPERLINK(\"http://example.invalid\",\"x\")",
    "=IMPORTXML(\"http://example.invalid\",\"//a\")",
    "\u{ff1d}1+1",
    "|calc",
    "a,b",
    "a;b",
    "a\"b",
    "\"a\"",
    "\"\"",
    "'",
    "\\",
    "\\n",
    "\\,",
    "a:b",
    "END:VEVENT",
    "x\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nSUMMARY:y",
    "x\nEND:VCALENDAR",
    "BEGIN:VALARM\r\nACTION:PROCEDURE",
    "SUMMARY;LANGUAGE=en:x",
    "DTSTART:19700101T000000Z",
    "mailto:mara@example.invalid",
    "../../etc/passwd",
    "..\\..\\windows\\system32",
    "/dev/null",
    "C:\\autoexec.bat",
    "CON",
    "NUL.txt",
    "name.exe",
    "name\u{202e}gpj.exe",
    ".htaccess",
    "-rf",
    "$(reboot)",
    "`reboot`",
    "| cat /etc/passwd",
    "; ls",
    "a&b",
    "a>b<c",
    "*?:|",
    "__proto__",
    "constructor",
    "toString",
    "hasOwnProperty",
    "null",
    "undefined",
    "NaN",
    "Infinity",
    "1e400",
    "-0",
    "0x10",
    "9007199254740993",
    "true",
    "[]",
    "{}",
    "{\"a\":1}",
    "{\"__proto__\":{\"x\":1}}",
    "]]>",
    "<![CDATA[x]]>",
    "<?xml version=\"1.0\"?>",
    "<!DOCTYPE x [<!ENTITY y SYSTEM \"file:///etc/passwd\">]>",
    "()=>{}",
    "{:?}",
    "{0}",
    "%s%s%n",
    "%d",
    "Mara O’Brien-Łukasz",
    "Δέσποινα Παππά",
    "田中 花子",
    "محمد",
    "שָׁלוֹם",
    "Ærøskøbing",
    "İstanbul ıI",
    "ß ẞ ﬁ",
    "👩‍👩‍👧‍👦 🏳️‍🌈 👍🏽",
    "Z̴̢̛a̷l̵g̸o̶",
    "½ ¾ ⅓",
    "−5 °C",
    "10 × 20 mm",
    "٣٫٥",
];

/// So many that a field meets more than a hundred.
#[test]
fn there_are_more_than_a_hundred_of_them() {
    let all = strings();
    assert!(all.len() >= 100, "{}", all.len());
    let different: std::collections::BTreeSet<&String> = all.iter().collect();
    assert_eq!(different.len(), all.len(), "none of them twice");
}
