import * as fc from 'fast-check'
import { expect, test } from 'vitest'

import { escapeXhtml, narrativeComplaints } from '../../src/fhir/narrative.ts'

const div = (content: string) => `<div xmlns="http://www.w3.org/1999/xhtml">${content}</div>`
const rulesOf = (text: string) => narrativeComplaints(text).map(({ rule }) => rule)

/** narrative.html 2.4.0: the formatting elements of HTML 4.0 chapters 7 to 11 (not 9.4) and 15. */
const ACCEPTED = [
  'text',
  'a &amp; b &lt; c &gt; d &quot;e&quot; &apos;f&apos; &#39; &#xE9;',
  '<p class="x" id="y" title="z" lang="en" xml:lang="en" dir="ltr">text</p>',
  '<h1>a</h1><h6>b</h6><br/><hr/><pre>c</pre><blockquote cite="http://a.example">d</blockquote>',
  '<ul><li>a</li></ul><ol start="2"><li value="3">b</li></ol><dl><dt>c</dt><dd>d</dd></dl>',
  '<table border="1"><caption>a</caption><colgroup><col width="1"/></colgroup><thead><tr><th scope="col" colspan="2">b</th></tr></thead><tbody><tr><td valign="top">c</td></tr></tbody></table>',
  '<b>a</b><i>b</i><em>c</em><strong>d</strong><sub>e</sub><sup>f</sup><code>g</code><tt>h</tt>',
  '<a href="http://a.example/b?c=d#e">a</a><a href="https://a.example">b</a><a name="c">c</a>',
  '<a href="mailto:a@a.example">a</a><a href="#b">b</a><a href="Patient/1">c</a>',
  '<a href="urn:uuid:c757873d-ec9a-4326-a141-556f43239520">in the same transaction</a>',
  '<img src="data:image/png;base64,AAAA" alt="a"/>',
  '<img src="data:image/jpeg;base64,AAAA"/><img src="Binary/1"/>',
  '<p style="padding-left: 25px; color: rgb(1, 2, 3); width: calc(100% - 1px)">a</p>',
  '<span style="background: #fff">a</span>',
  'a<!-- b & c, "d" -->',
  '<!---->a<p><!-- - -->b</p>',
]

for (const content of ACCEPTED) {
  test(`accepted: ${content}`, () => {
    expect(rulesOf(div(content))).toEqual([])
  })
}

/** XML 1.0, 2.2: characters that no XML may have, wherever they stand. */
test.each(['\u0000', '\u0001', '\ud800', '\udc00', '\ufffe', '\uffff'])(
  'the character %j is refused in text and in attributes',
  (char) => {
    for (const content of [char, `<p title="${char}">a</p>`, `<p title='${char}'>a</p>`])
      expect(rulesOf(div(content))).toContain('txt-1')
  },
)

/** Ways to run, load or hide something; the last ones differ between an XML and an HTML reader. */
const HOSTILE = [
  'a<script>b()</script>',
  'a<SCRIPT>b()</SCRIPT>',
  'a<style>b{}</style>',
  'a<link rel="stylesheet" href="http://a.example"/>',
  'a<meta content="x"/>',
  'a<base href="http://a.example"/>',
  'a<iframe src="http://a.example"/>',
  'a<frame src="http://a.example"/>',
  'a<frameset/>',
  'a<object data="x"/>',
  'a<embed src="x"/>',
  'a<applet code="x"/>',
  'a<form action="http://a.example"><input/></form>',
  'a<button>b</button>',
  'a<body>b</body>',
  'a<head>b</head>',
  'a<html>b</html>',
  'a<title>b</title>',
  'a<video src="x"/>',
  'a<template>b</template>',
  'a<ins>b</ins><del>c</del>',
  'a<svg xmlns="http://www.w3.org/2000/svg" onload="b()"/>',
  'a<math xmlns="http://www.w3.org/1998/Math/MathML"/>',
  '<p onclick="a()">b</p>',
  '<p ONCLICK="a()">b</p>',
  '<img src="x" onerror="a()"/>',
  '<a href="javascript:a()">b</a>',
  '<a href="JavaScript:a()">b</a>',
  '<a href=" javascript:a()">b</a>',
  '<a href="java&#9;script:a()">b</a>',
  '<a href="java&#10;script:a()">b</a>',
  '<a href="&#1;javascript:a()">b</a>',
  '<a href="&#106;avascript:a()">b</a>',
  '<a href="vbscript:a()">b</a>',
  '<a href="data:text/html,a">b</a>',
  '<a href="data:image/png;base64,AAAA">b</a>',
  '<a href="file:///etc/passwd">b</a>',
  '<a href="\\\\a.example\\b">c</a>',
  '<img src="data:image/svg+xml;base64,AAAA"/>',
  '<img src="data:text/html,a"/>',
  '<img src="javascript:a()"/>',
  '<blockquote cite="javascript:a()">b</blockquote>',
  '<img src="x" usemap="#a"/>',
  '<a href="#b" target="_blank">c</a>',
  '<a xlink:href="x" xmlns:xlink="http://www.w3.org/1999/xlink">b</a>',
  '<p style="background: url(http://a.example)">b</p>',
  '<p style="background: URL(http://a.example)">b</p>',
  '<p style="background: u\\72l(http://a.example)">b</p>',
  '<p style="background: u/**/rl(http://a.example)">b</p>',
  '<p style="background: &#117;rl(http://a.example)">b</p>',
  '<p style="width: expression(a())">b</p>',
  '<p style="@import \'http://a.example\'">b</p>',
  '<p style="background: image-set(\'http://a.example\' 1x)">b</p>',
  '<p style="behavior: x">b</p>',
  '<p style="-moz-binding: x">b</p>',
  '<p style="position: fixed">b</p>',
  'a<!---> <b>c</b> -->',
  'a<!--[if IE]><b>c</b><![endif]-->',
  'a<!-- b -- c -->',
  'a<!-- b --!> c -->',
  'a<!-- b',
  'a<!--> <script>b()</script> -->',
  'a<![CDATA[ > <script>b()</script> ]]>',
  'a<?php b ?>',
  'a&nbsp;b',
  'a&eacute;',
  'a & b',
  'a < b',
  '<p>a',
  '<p>a</div>',
  '<b><i>a</b></i>',
  '<x:p xmlns:x="http://www.w3.org/1999/xhtml">a</x:p>',
  '<p class=a>b</p>',
  '<p class="a" class="b">c</p>',
]

for (const content of HOSTILE) {
  test(`refused: ${content}`, () => {
    expect(rulesOf(div(content))).toContain('txt-1')
  })
}

/** The root itself. */
const BAD_ROOTS = [
  '',
  'text',
  '<p xmlns="http://www.w3.org/1999/xhtml">a</p>',
  '<div>a</div>',
  '<div xmlns="http://a.example">a</div>',
  '<divx xmlns="http://www.w3.org/1999/xhtml">a</divx>',
  ' <div xmlns="http://www.w3.org/1999/xhtml">a</div>',
  '<?xml version="1.0"?><div xmlns="http://www.w3.org/1999/xhtml">a</div>',
  '<!DOCTYPE div [<!ENTITY a "b">]><div xmlns="http://www.w3.org/1999/xhtml">&a;</div>',
  `${div('a')}${div('b')}`,
  `${div('a')}text`,
  `${div('a')}<!-- b -->`,
  `<!-- b -->${div('a')}`,
  '<div xmlns="http://www.w3.org/1999/xhtml">a',
]

for (const text of BAD_ROOTS) {
  test(`refused as narrative: ${text}`, () => {
    expect(rulesOf(text)).toContain('txt-1')
  })
}

for (const content of ['', ' \n\t', '\u00a0', '<p> </p><br/>', '<!-- a -->']) {
  test(`refused because it says nothing: ${JSON.stringify(content)}`, () => {
    expect(rulesOf(div(content))).toEqual(['txt-2'])
  })
}

test('a picture alone says something', () => {
  expect(rulesOf(div('<img src="#a"/>'))).toEqual([])
})

test('a fault that repeats is reported once, two kinds of fault are both reported', () => {
  const faults = narrativeComplaints(div('<p onclick="a">b</p><p onclick="c">d</p><form/>'))

  expect(faults).toHaveLength(2)
})

test('any text, once escaped, is a narrative that shows it and nothing else', () => {
  const anyText = fc.oneof(
    fc.string({ unit: 'binary' }),
    fc.constantFrom(...HOSTILE),
    fc.constant('\u0000\u0008\ud800\ufffe'),
  )
  fc.assert(
    fc.property(anyText, (text) => {
      const escaped = escapeXhtml(text)

      expect(escaped).not.toMatch(/[<>"']/)
      expect(rulesOf(div(`a<p title="${escaped}">${escaped}</p>`))).toEqual([])
    }),
  )
})

test('escaped text keeps its characters', () => {
  expect(escapeXhtml(`a<b>&"c'\u00e9😀`)).toBe('a&lt;b&gt;&amp;&quot;c&#39;\u00e9😀')
  expect(escapeXhtml('a\u0000b\ud800c')).toBe('a\ufffdb\ufffdc')
})

test('a style is refused when it is longer than any honest one', () => {
  const styled = (style: string) =>
    narrativeComplaints(`<div xmlns="http://www.w3.org/1999/xhtml"><p style="${style}">a</p></div>`)

  expect(styled('color: red')).toEqual([])
  expect(styled(`color:${'a'.repeat(500)}`)).not.toEqual([])
  expect(styled(`color:${' '.repeat(100_000)}red`)).not.toEqual([])
})
