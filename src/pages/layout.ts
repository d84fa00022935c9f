import { html } from 'ghtml'

/** What every page has around its content. */
export interface Frame {
  readonly title: string
  /** Who is signed in; nobody on the page to sign in. */
  readonly name?: string
  /** Which of the pages in the navigation it is. */
  readonly at?: 'worklist' | 'audit'
  /** When it was made, an ISO instant. */
  readonly madeAt: string
}

const CAUTION =
  'Decision support for qualified professionals, not a diagnosis. An individual assessment decides; local rules and licensed practice apply. Urgent signs go to a physician or to emergency care.'

/** A whole page. @param content HTML */
export function pageOf({ title, name, at, madeAt }: Frame, content: string): string {
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title} – Footing</title>
<link rel="stylesheet" href="/pages.css">
<link rel="icon" href="/pages.svg" type="image/svg+xml">
</head>
<body>
<a class="skip" href="#content">Skip to the content</a>
<header>
<p class="mark">Footing</p>
!${name === undefined ? '' : navigation(name, at)}
</header>
<main id="content" tabindex="-1">
<h1>${title}</h1>
!${content}
</main>
<footer>
<p>${CAUTION}</p>
<p>This page was made at !${timeOf(madeAt)}.</p>
</footer>
</body>
</html>
`
}

const link = (href: string, text: string, isHere: boolean): string =>
  html`<li><a href="${href}"!${isHere ? ' aria-current="page"' : ''}>${text}</a></li>`

const navigation = (name: string, at: Frame['at']): string => html`<nav aria-label="Main">
<ul>
!${link('/', 'Worklist', at === 'worklist')}
!${link('/audit', 'Audit', at === 'audit')}
</ul>
</nav>
<form method="post" action="/sign-out" class="who"><span>Signed in: ${name}</span> <button>Sign out</button></form>`

/** An instant, to the minute in UTC; a day as it is. */
export function timeOf(instant: string | undefined): string {
  if (instant === undefined) return ''
  const said = instant.includes('T')
    ? `${new Date(instant).toISOString().slice(0, 16).replace('T', ' ')} UTC`
    : instant
  return html`<time datetime="${instant}">${said}</time>`
}

/** A table with a heading of its own; cells are HTML, the first of each row names it. */
export function tableOf(
  caption: string,
  head: readonly string[],
  rows: readonly (readonly string[])[],
): string {
  const heads = head.map((text) => html`<th scope="col">${text}</th>`).join('')
  const body = rows.map(
    ([first = '', ...cells]) =>
      `<tr><th scope="row">${first}</th>${cells.map((cell, place) => html`<td data-label="${head[place + 1]}">!${cell}</td>`).join('')}</tr>`,
  )
  return html`<table><caption>${caption}</caption><thead><tr>!${heads}</tr></thead><tbody>!${body.join('\n')}</tbody></table>`
}

/** Text of ours or of others, made safe. */
export const text = (said: string | number | undefined): string => html`${said}`
