// What http.html and search.html of R4 say of resources, as simple as can be: all in memory, no index.

/** The content that the model knows of an invented Organization. */
export interface Content {
  /** Value of its identifier. */
  readonly key: string
  readonly name: string
  /** The resource that it is part of. */
  readonly partOf: string | undefined
}

export interface Version {
  readonly deleted: boolean
  readonly content: Content | undefined
}

/** What an interaction should come to. */
export interface Expected {
  readonly status: number
  /** The version that stands afterwards, where the answer names one. */
  readonly version?: number
  readonly id?: string
}

export class InteractionModel {
  readonly resources = new Map<string, Version[]>()

  private versions(id: string): Version[] {
    return this.resources.get(id) ?? []
  }

  current(id: string): Version | undefined {
    return this.versions(id).at(-1)
  }

  version(id: string): number {
    return this.versions(id).length
  }

  live(): [string, Content][] {
    return [...this.resources.keys()].flatMap((id) => {
      const content = this.current(id)?.content
      return content === undefined ? [] : [[id, content]]
    })
  }

  withKey(key: string): string[] {
    return this.live().flatMap(([id, content]) => (content.key === key ? [id] : []))
  }

  /** A reference must lead to what is there. */
  dangles({ partOf }: Content): boolean {
    return partOf !== undefined && this.current(partOf)?.content === undefined
  }

  isReferredTo(id: string): boolean {
    return this.live().some(([other, { partOf }]) => other !== id && partOf === id)
  }

  write(id: string, content: Content | undefined): void {
    this.resources.set(id, [...this.versions(id), { deleted: content === undefined, content }])
  }

  /** @param ifMatch the version that the sender says it has seen */
  update(id: string, content: Content, ifMatch: number | undefined): Expected {
    const before = this.current(id)
    if (before === undefined) return { status: 405 }
    if (ifMatch !== undefined && ifMatch !== this.version(id)) return { status: 412 }
    if (content.partOf !== id && this.dangles(content)) return { status: 422 }
    this.write(id, content)
    return { status: before.deleted ? 201 : 200, version: this.version(id), id }
  }

  delete(id: string, ifMatch: number | undefined): Expected {
    const before = this.current(id)
    if (before === undefined || before.deleted) return { status: ifMatch === undefined ? 204 : 412 }
    if (ifMatch !== undefined && ifMatch !== this.version(id)) return { status: 412 }
    if (this.isReferredTo(id)) return { status: 409 }
    this.write(id, undefined)
    return { status: 204, version: this.version(id), id }
  }

  read(id: string): Expected {
    const now = this.current(id)
    if (now === undefined) return { status: 404 }
    return now.deleted ? { status: 410 } : { status: 200, version: this.version(id), id }
  }

  readVersion(id: string, version: number): Expected {
    const then = this.versions(id)[version - 1]
    if (then === undefined) return { status: 404 }
    return then.deleted ? { status: 410 } : { status: 200, version, id }
  }
}
