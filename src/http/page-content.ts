import { idIn, Observation, type Page, pageOf, Patient, Task, those } from '../pages/answers.ts'
import type { AuditFilter } from '../pages/audit-page.ts'
import type { ChildContent, ReferralContent } from '../pages/child-page.ts'
import { wordsOf } from '../pages/message-page.ts'
import { PICTURE_KINDS } from '../pictures/picture.ts'

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

const MOST_TASKS = 50
const MOST_EVENTS = 50

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

/** @param shown the id of the ServiceRequest that is looked at; the newest, when none is named */
export async function childContent(
  ask: Ask,
  childId: string,
  shown: string | undefined,
): Promise<ChildContent> {
  const [kept, { resources }] = await Promise.all([
    ask(`Patient/${childId}`),
    pageAt(ask, `Task?patient=Patient/${childId}&_sort=-_lastUpdated&_count=${MOST_TASKS}`),
  ])
  if (kept.status !== 200) throw new NoAnswer(kept)
  const tasks = those(Task, resources)
  const ofReferrals = tasks.flatMap((task) => {
    const id = idIn('ServiceRequest', task.focus?.reference)
    return id === undefined || (shown !== undefined && id !== shown) ? [] : [{ id, task }]
  })
  const found = ofReferrals.find(({ task }) => (task.output ?? []).length > 0) ?? ofReferrals[0]
  return {
    child: Patient.parse(JSON.parse(kept.body)),
    tasks,
    referral: found === undefined ? undefined : await referralContent(ask, found.id, found.task),
  }
}

async function referralContent(ask: Ask, id: string, task: Task): Promise<ReferralContent> {
  const results = (task.output ?? []).flatMap(
    ({ valueReference }) => idIn('Observation', valueReference?.reference) ?? [],
  )
  const [findings, plan, ...pictures] = await Promise.all([
    results.length === 0
      ? []
      : pageAt(ask, `Observation?_id=${results.join(',')}&_count=${results.length}`).then(
          ({ resources }) => those(Observation, resources),
        ),
    ask(`ServiceRequest/${id}/$fitting-plan`),
    ...PICTURE_KINDS.map((kind) =>
      ask(`ServiceRequest/${id}/$chart?kind=${kind}`, { accept: 'image/svg+xml' }),
    ),
  ])
  const places = new Map(results.map((result, place) => [result, place]))
  return {
    id,
    findings: [...findings].toSorted(
      (one, other) => (places.get(one.id) ?? 0) - (places.get(other.id) ?? 0),
    ),
    pictures: pictures.flatMap(({ status, body }) => (status === 200 ? [body] : [])),
    plan: plan.status === 200 ? pageOf(plan.body).resources : { whyNot: wordsOf(plan.body) },
  }
}

/** @param page the query of a further page, as a link of ours gave it */
export async function auditContent(
  ask: Ask,
  { from, to, patient, who, action, refused }: AuditFilter,
  page: string | undefined,
): Promise<{ readonly events: readonly unknown[]; readonly next: string | undefined }> {
  const asked = new URLSearchParams({ _sort: '-date', _count: String(MOST_EVENTS) })
  const add = (name: string, value: string | undefined, prefix = ''): void => {
    if (value !== undefined && value !== '') asked.append(name, `${prefix}${value}`)
  }
  add('date', from, 'ge')
  add('date', to, 'le')
  add('patient', patient, 'Patient/')
  add('altid', who)
  add('action', action)
  if (refused === true) asked.append('outcome', '4,8,12')
  const { resources, next } = await pageAt(ask, `AuditEvent?${page ?? asked.toString()}`)
  return { events: resources, next: linkTo('/audit', next) }
}
