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
  'snyder-1977': {
    citation:
      'Snyder RG, Schneider LW, Owings CL, Reynolds HM, Golomb DH, Schork MA. Anthropometry of infants, children, and youths to age 18 for product safety design. UM-HSRI-77-17, US Consumer Product Safety Commission, 1977',
    population:
      'children in the USA, 1975-77; 27-44 in each infant group, 66-263 in each child group; whether the foot was loaded was not checked',
    readFrom:
      'infant tables as issued by NIST; the child bands are computed from the 3,900 individual records of the study',
  },
  'foot-length-curve': {
    citation: 'Our own fit to the band means of Snyder et al. 1977',
    population: 'as Snyder et al. 1977, 1-82 months, both sexes',
    readFrom:
      'derived: 1.4 mm weighted root mean square error; largest misfits -4.5 mm at 22 and -3.7 mm at 18 months',
  },
  'gould-1990': {
    citation:
      'Gould N et al. Foot growth in children age one to five years. Foot Ankle 1990;10:211',
    population: '107 children, 1-5 years',
    readFrom: 'months per half shoe size from the abstract; mm per month derived',
  },
  'cheng-1997': {
    citation: 'Cheng JCY et al. Foot growth. Clin Orthop 1997;342:123-131',
    population: '2,829 children, 3-18 years',
    readFrom: 'gain in length and width on weight bearing, from the abstract',
  },
  'down-syndrome-feet-2022': {
    citation: 'Disabil Rehabil 2022;44(15):3959-3966, doi 10.1080/09638288.2021.1895897',
    population: '51 children and adolescents with Down syndrome and 51 without',
    readFrom: 'the abstract',
  },
  'shoe-size-formulas': {
    citation:
      'Child shoe sizes from foot length: European and UK formula of an open-source unit library; Mondopoint of ISO 9407:2019',
    population: '',
    readFrom:
      'code and public conversion charts; the charts differ from each other by about one size',
  },
  'orthosis-leaflets': {
    citation:
      "Leaflets on wearing an ankle-foot orthosis: Royal National Orthopaedic Hospital; NHS Fife; Mersey Care; North Bristol; North Tees and Hartlepool; Dorset HealthCare; Sheffield Children's",
    population: 'wearers of ankle-foot orthoses and splints, not of supramalleolar orthoses',
    readFrom: 'the public pages; as a pace of wear they differ several-fold',
  },
  'martin-2004': {
    citation: 'Martin K. Dev Med Child Neurol 2004;46:406-411',
    population: '17 walking children with Down syndrome, 3.5-8 years',
    readFrom: 'the abstract',
  },
  'looper-ulrich-2010': {
    citation: 'Looper J, Ulrich DA. Phys Ther 2010;90:382-390',
    population: '17 infants with Down syndrome who pulled to stand',
    readFrom: 'the abstract',
  },
  'front-edge-letter-2012': {
    citation: 'Letter, Pediatr Phys Ther 2012;24(4)',
    population: 'on a study of two children',
    readFrom: 'a page that restates it',
  },
  'orthoses-review-2025': {
    citation: 'Paleg et al. Disabilities 2025;5(1):14',
    population: 'review of reviews on positioning and orthotic devices',
    readFrom: 'the abstract',
  },
  'foot-orthoses-cochrane-2022': {
    citation: 'Cochrane review CD006311.pub4, 2022',
    population: '16 trials, 1,058 children from 11 months with flexible flat feet',
    readFrom: 'the abstract',
  },
} as const satisfies Record<string, Source>

export type SourceId = keyof typeof SOURCES
