/** Each publication once: citation, population, and how it was read. */
export interface Source {
  readonly citation: string
  readonly population: string
  readonly readFrom: string
}

export const SOURCES = {
  'common-practice': {
    citation: 'Common practice, no source',
    population: '',
    readFrom: 'a fact of the trade; a clinic may change it',
  },
  judgement: {
    citation: 'Our own judgement',
    population: '',
    readFrom: 'a setting of the rule set; a clinic may change it',
  },
  memory: {
    citation: 'From memory, not seen in a text',
    population: '',
    readFrom: 'check before use',
  },
  'who-motor-2006': {
    citation:
      'WHO Multicentre Growth Reference Study Group. WHO Motor Development Study: windows of achievement for six gross motor development milestones. Acta Paediatr Suppl 2006;450:86-95',
    population:
      '816 healthy children in five countries, 4-24 months; a fast reference, not a norm for children with low tone',
    readFrom: 'P1 and P99 from the abstract; P3-P97 from one secondary transcription',
  },
} as const satisfies Record<string, Source>

export type SourceId = keyof typeof SOURCES
