// Texts over which pages, files and spreadsheets have stumbled, each short enough for a name.

const MARKUP = [
  '<script>window.broken=1</script>',
  '<img src=x onerror=window.broken=1>',
  '<svg onload=window.broken=1>',
  '<iframe src="javascript:parent.broken=1">',
  '<a href="javascript:window.broken=1">tap</a>',
  '<style>*{display:none}</style>',
  '<meta http-equiv=refresh content="0;url=//example.invalid">',
  '<base href="//example.invalid/">',
  '<form action="//example.invalid"><input name=a>',
  '<link rel=stylesheet href="//example.invalid/a.css">',
  '<template><b>inner</b></template>',
  '</title></textarea></script>',
  '</main></body></html>',
  '<!-- never closed',
  '<![CDATA[ never closed',
  '<?xml version="1.0"?>',
  '<details open ontoggle=window.broken=1>',
  '<math><mi xlink:href="javascript:window.broken=1">',
  '"><b onmouseover="window.broken=1">',
  "'><b onfocus='window.broken=1' autofocus>",
  '" autofocus onfocus="window.broken=1',
  '&lt;b&gt;', '&#0;', '&amp;amp;', '&notanentity', '&NotEqualTilde;',
  'javascript:window.broken=1', 'data:text/html,<script>window.broken=1</script>', 'vbscript:x', 'blob:null/0',
];

const CODE = [
  '{{constructor.constructor("window.broken=1")()}}', '${window.broken=1}', '#{1+1}', '<%= 1 %>', '{items}', '{0}', '%s%n%x',
  '__proto__', 'constructor', 'toString', 'hasOwnProperty', 'prototype.polluted', 'null', 'undefined', 'NaN', 'true', '[object Object]',
  "Robert'); DROP TABLE orders;--", "' OR '1'='1", '$(reboot)', '`reboot`', '; rm -rf /', '| cat', '&& exit', '\\u0000', '\\x41', '\\',
  '\\\\server\\share', '../../../etc/hosts', '..\\..\\', '/dev/null', 'file:///etc/hosts', 'C:\\CON', 'aux.txt', '.', '..', '~', '*', '?', ':',
];

const CELLS = [
  '=1+1', '=HYPERLINK("http://example.invalid";"tap")', '+1+1', '-1+1', '@SUM(A1:A9)', "=cmd|' /C calc'!A0", '\t=1+1', '"=1+1', ';=1+1', ',,,,',
  '"', '""', "'", '"a";"b"', 'a,b;c|d',
];

const CALENDAR = ['BEGIN:VEVENT', 'END:VCALENDAR', 'a\\nb', 'a\\,b\\;c', 'DTSTART:19700101', 'X-A;B="c":d', ':;,\\'];

const LETTERS = [
  '\u202etxet sdrawkcab', '\u2066isolated', '\u200b', 'zero\u200bwidth', 'soft\u00adhyphen', '\ufeffmark first', 'no\u00a0break',
  'e\u0301 and \u00e9', 'ﬁ ligature', 'İstanbul ı', 'straße STRASSE', 'Ǆ ǅ ǆ', '한국어 과자', '点心の注文', 'حلويات العيد', 'עוגת יום הולדת', 'ขนมหวาน', 'मिठाई',
  '🧁', '👩🏽‍🍳', '🏳️‍🌈', '🇬🇧🇯🇵', '☠️', '\u{1f9c1}\ufe0e', 'Z\u0351\u036b\u0343a\u036bl\u0348go', 'ﷺ', '𝕭𝖔𝖑𝖉', '\u{10ffff}', '\ufffd', '\u0085next line', '\u2028separator',
];

const LONG = ['W'.repeat(60), 'i'.repeat(60), 'a '.repeat(30).trim(), '–'.repeat(50), '👩🏽‍🍳'.repeat(8), 'https://example.invalid/'.padEnd(60, 'x')];

export const HOSTILE = [...MARKUP, ...CODE, ...CELLS, ...CALENDAR, ...LETTERS, ...LONG];
