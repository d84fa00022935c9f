import { type Page, pageOf } from '../pages/answers.ts'
import { wordsOf } from '../pages/message-page.ts'

export interface Answer {
  readonly status: number
  readonly body: string
}

export interface Asking {
  readonly accept?: string
  /** What is sent along, by POST. */
  readonly body?: object
}

/** Asks the API on behalf of whoever is signed in: below /fhir, or at an address that begins with a slash. */
export type Ask = (path: string, how?: Asking) => Promise<Answer>

/** The API did not answer as the page needs; its words are for the reader. */
export class NoAnswer extends Error {
  readonly status: number
  readonly words: readonly string[]

  constructor({ status, body }: Answer) {
    super(`The API answered ${status}`)
    this.status = status
    this.words = wordsOf(body)
  }
}

export async function pageAt(ask: Ask, path: string): Promise<Page> {
  const answer = await ask(path)
  if (answer.status !== 200) throw new NoAnswer(answer)
  return pageOf(answer.body)
}

/** The query of an address, to be asked for again through a page of ours. */
const queryOf = (address: string | undefined): string | undefined =>
  address === undefined ? undefined : new URL(address).search.slice(1)

/** @param kept what else the next page is to be told, so that its form says what is shown */
export const linkTo = (
  page: string,
  next: string | undefined,
  kept: Readonly<Record<string, string>> = {},
): string | undefined => {
  const query = queryOf(next)
  return query === undefined
    ? undefined
    : `${page}?${new URLSearchParams({ ...kept, page: query }).toString()}`
}
