import { html } from 'ghtml'
import { Outcome, named } from './answers.ts'
import { type Frame, pageOf } from './layout.ts'

/** What the API said instead of an answer, in its words. */
export function wordsOf(body: string): readonly string[] {
  try {
    const { issue } = Outcome.parse(JSON.parse(body))
    return issue.map(({ details, diagnostics }) => named(details) || (diagnostics ?? ''))
  } catch {
    return []
  }
}

const TITLES: Readonly<Record<number, string>> = {
  400: 'This cannot be asked',
  403: 'Not allowed',
  404: 'Not found',
  410: 'Deleted',
  429: 'Too many requests',
  503: 'Not available now',
}

/** A page for what could not be shown. */
export const messagePage = (
  frame: Omit<Frame, 'title'>,
  { status, words }: { readonly status: number; readonly words: readonly string[] },
): string =>
  pageOf(
    { ...frame, title: TITLES[status] ?? 'Something went wrong' },
    words.map((word) => html`<p>${word}</p>`).join('') + '<p><a href="/">To the worklist</a></p>',
  )
