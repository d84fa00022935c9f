import { escapeXhtml } from './narrative.ts'
import type { Picture } from '../pictures/picture.ts'
import type { Narrative } from './r4/types.ts'

/** Pieces of a narrative; every text is escaped here and nowhere else. */
export const paragraph = (text: string): string => `<p>${escapeXhtml(text)}</p>`
export const heading = (text: string): string => `<h3>${escapeXhtml(text)}</h3>`

export const list = (items: readonly string[]): string =>
  items.length === 0
    ? ''
    : `<ul>${items.map((item) => `<li>${escapeXhtml(item)}</li>`).join('')}</ul>`

export function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const cells = (tag: 'th' | 'td', texts: readonly string[]) =>
    `<tr>${texts.map((text) => `<${tag}>${escapeXhtml(text)}</${tag}>`).join('')}</tr>`
  return `<table><thead>${cells('th', head)}</thead><tbody>${rows
    .map((texts) => cells('td', texts))
    .join('')}</tbody></table>`
}

/** A drawing with all that it shows in words. It carries its data: a reader of the resource may have no way to us. */
export function picture({ svg, title, description }: Picture): string {
  const data = Buffer.from(svg).toString('base64')
  const alt = escapeXhtml(description)
  return `${heading(title)}<p><img src="data:image/svg+xml;base64,${data}" alt="${alt}"/></p>`
}

/** Text that was generated wholly from the data of its resource. */
export const narrative = (...pieces: readonly string[]): Narrative => ({
  status: 'generated',
  div: `<div xmlns="http://www.w3.org/1999/xhtml">${pieces.join('')}</div>`,
})
