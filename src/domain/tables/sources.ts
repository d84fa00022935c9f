import { LAW_SOURCES } from './law-sources.ts'
import { STATE_SOURCES } from './state-sources.ts'

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
  'who-motor-model': {
    citation: 'Own fit to the percentiles of the WHO Motor Development Study',
    population: 'as who-motor-2006',
    readFrom: 'derived: two parameters a milestone return all 66 published cells after rounding',
  },
  'tempo-model': {
    citation: 'Own model: one tempo a child stretches the ages of all milestones of who-motor-2006',
    population:
      'as who-motor-2006; the shared spread was seen in open data of 1,870 Dutch children',
    readFrom: 'derived: log spread of tempo 0.13 (0.12-0.14 defensible), the rest is residual',
  },
  'aap-preterm-age-2004': {
    citation:
      'American Academy of Pediatrics, Committee on Fetus and Newborn. Age terminology during the perinatal period. Pediatrics 2004;114:1362-1364',
    population: 'children born preterm',
    readFrom: 'the table; that it is meant up to 3 years from a restatement',
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
  'fpi-redmond-2006': {
    citation: 'Redmond AC, Crosbie J, Ouvrier RA. Clin Biomech 2006;21:89-98',
    population: 'the scoring of the Foot Posture Index, six items; no norm',
    readFrom: 'abstract; bands and the 5 degree anchor of the heel item from a public note',
  },
  'fpi-gijon-nogueron-2019': {
    citation: 'Gijon-Nogueron G et al. BMJ Open 2019;9:e023341',
    population: '3,217 children, 3-15 years; no younger ones',
    readFrom: 'the abstract',
  },
  'fpi-side-difference': {
    citation:
      'Normative values for the foot posture index between right and left foot, study of 930 adults',
    population: '930 adults; no children',
    readFrom: 'the abstract',
  },
  'banwell-2018': {
    citation: 'Banwell HA et al. J Foot Ankle Res 2018;11:21',
    population: 'review of flat foot measures in children of 3-15 years',
    readFrom: 'the abstract; resting heel eversion is not among its valid and reliable measures',
  },
  'heel-rule-2016': {
    citation: 'Current Pedorthics 2016;48(4):19',
    population: 'an opinion, no sample; its own worked example has a slip',
    readFrom: 'a page that restates it',
  },
  'pfeiffer-2006': {
    citation: 'Pfeiffer M et al. Pediatrics 2006;118:634-639',
    population: '835 children, 3-6 years; heel against Achilles line, laser scan',
    readFrom: 'the abstract',
  },
  'flexibility-tests': {
    citation:
      "Royal Children's Hospital Melbourne, flat feet page; Musculoskeletal Key, flatfoot chapter",
    population: 'clinical guidance: tiptoe, great-toe extension, unloaded look, ankle range',
    readFrom: 'the public pages',
  },
  'knee-angle-turkey': {
    citation: 'Tibiofemoral angle in Turkish children, PubMed 11242264',
    population: '590 children, 3-17 years',
    readFrom: 'the abstract',
  },
  'ashworth-1987': {
    citation: 'Bohannon RW, Smith MB. Modified Ashworth Scale. 1987',
    population: 'a scale of raised tone; 0 means not raised and says nothing about low tone',
    readFrom: 'public copies of the grades',
  },
  'late-walking-1984': {
    citation: 'Chaplais JD, Macfarlane JA. Arch Dis Child 1984;59:512',
    population: '404 children not walking at 18 months, 32 % with some pathology',
    readFrom: 'the abstract',
  },
  'state-thresholds-sd': {
    citation: '10 NYCRR 69-4.23(a), New York: 33 % or 2.0 SD in one domain, 25 % or 1.5 SD in two',
    population: 'an eligibility rule, not a measurement',
    readFrom: 'the rule text',
  },
  'hypermobility-2005': {
    citation: 'Engelbert RH et al. 2005',
    population: '72 children with joint hypermobility: its degree was not related to delay',
    readFrom: 'odds ratio 0.4 (0.07-2.1) from the abstract',
  },
  'abs-linkage-2012': {
    citation:
      'Australian Bureau of Statistics. Information Paper: Death registrations to Census linkage project, 2011-2012 (3302.0.55.004), Appendix C: linking m and u probabilities for each pass',
    population:
      'death registrations and Census records, all ages; nearly all adults, in blocks of one region',
    readFrom: 'tables C.1 (names, sex, day and month of birth, age) and C.2 (suburb)',
  },
  ...LAW_SOURCES,
  ...STATE_SOURCES,
} as const satisfies Record<string, Source>

export type SourceId = keyof typeof SOURCES
