/** What became of a resource in a call. */
export type Deed = 'read' | 'created' | 'updated' | 'deleted'

export interface Touched {
  readonly type: string
  readonly id: string
  readonly version?: number | undefined
  readonly did: Deed
}

/** How far the notes had come at a moment. */
export interface Mark {
  readonly touched: number
  readonly patients: number
  readonly searches: number
}

/** What is known of a call before it is answered. */
export interface CallFacts {
  /** `read`, `search`, `create` …; of an operation its name with `$`. */
  readonly interaction: string
  readonly action: 'C' | 'R' | 'U' | 'D' | 'E'
  /** X-Request-Id */
  readonly request: string
  readonly address: string
  /** Where it reached the service: the base URL. */
  readonly server?: string
  /** Of a search, what is searched: the address below the base, without its query. */
  readonly searched?: string | undefined
  /** As it stands in the address. */
  readonly query: string
  /** Asked by HEAD: nothing of what is read is sent. */
  readonly headOnly?: boolean
  /** Code of v3-PurposeOfUse. */
  readonly purpose: string | undefined
}

/** As much as a form may hold: a Bundle must not fill the log. */
const MOST_SEARCHED = 65_536

/** What one call does, noted while it is done, for its audit record. */
export class Call {
  readonly facts: CallFacts
  private readonly things: Touched[] = []
  private readonly children: string[] = []
  private readonly searches: string[] = []
  private failed = false
  private recorded = false
  private decided: 'permit' | 'deny' | undefined
  private question = ''

  constructor(facts: CallFacts) {
    this.facts = facts
  }

  get touched(): readonly Touched[] {
    return this.things
  }

  /** Ids of the Patients whose data came in, changed or went out. */
  get patients(): readonly string[] {
    return [...new Set(this.children)]
  }

  /** Whether part of the call, an entry of a batch, was refused. */
  get isPartlyRefused(): boolean {
    return this.failed
  }

  /** Whether all that was done stands in the log already. */
  get isRecorded(): boolean {
    const noted = this.things.length + this.children.length + this.searches.length
    return this.recorded && noted === 0 && !this.failed
  }

  /** What the consent gate said of it. */
  get consent(): 'permit' | 'deny' | undefined {
    return this.decided
  }

  /** One refusal outweighs all that was permitted. */
  decide(consent: 'permit' | 'deny'): void {
    if (this.decided !== 'deny') this.decided = consent
  }

  /** What a body asks, in the form of a query: about whom, and nothing of the content. */
  ask(question: Readonly<Record<string, string>>): void {
    this.question = new URLSearchParams(question).toString()
  }

  /** A search inside a Bundle: its address below the base, with its query. */
  search(url: string): void {
    this.searches.push(url)
  }

  /** The query of the address, and what the body asks. */
  get asked(): readonly string[] {
    return [this.facts.query, this.question, this.searches.join('\n').slice(0, MOST_SEARCHED)]
  }

  touch(touched: Touched, patientId?: string | null): void {
    this.things.push(touched)
    this.concern(touched.type === 'Patient' ? touched.id : patientId)
  }

  /** Data about a child, without naming the resources. */
  concern(patientId: string | null | undefined): void {
    if (patientId !== undefined && patientId !== null) this.children.push(patientId)
  }

  refusePart(): void {
    this.failed = true
  }

  mark(): Mark {
    return {
      touched: this.things.length,
      patients: this.children.length,
      searches: this.searches.length,
    }
  }

  /** What was noted since then did not happen, or stands in the log. */
  backTo({ touched, patients, searches }: Mark): void {
    this.things.length = touched
    this.children.length = patients
    this.searches.length = searches
  }

  wasRecorded(): void {
    this.recorded = true
  }
}
