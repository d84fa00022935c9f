import type { Side } from '../child.ts'

export type DiagnosisGroup =
  | 'tone-strength'
  | 'development'
  | 'gait-posture'
  | 'foot-congenital'
  | 'foot-acquired'
  | 'joint-laxity'

export interface DiagnosisCandidate {
  readonly code: string
  readonly title: string
  readonly group: DiagnosisGroup
  /** Of a code for one foot; codes for an unspecified side are left out. */
  readonly side?: Side
}

/**
 * Diagnoses that are the usual reasons for a referral for an orthosis of the foot, with their published titles.
 * A list to choose from: which one applies is for the person who bills.
 *
 * Unit:       none
 * Population: codes of ICD-10-CM, United States
 * Source:     SOURCES icd-10-cm-2026
 * How read:   codes and titles from two open lists; whether each one is billable was not checked
 */
export const ICD_10_CM_CANDIDATES: readonly DiagnosisCandidate[] = [
  { code: 'P94.2', title: 'Congenital hypotonia', group: 'tone-strength' },
  { code: 'P94.8', title: 'Other disorders of muscle tone of newborn', group: 'tone-strength' },
  {
    code: 'P94.9',
    title: 'Disorder of muscle tone of newborn, unspecified',
    group: 'tone-strength',
  },
  { code: 'M62.81', title: 'Muscle weakness (generalized)', group: 'tone-strength' },
  { code: 'M62.89', title: 'Other specified disorders of muscle', group: 'tone-strength' },
  { code: 'R53.1', title: 'Weakness', group: 'tone-strength' },
  {
    code: 'R29.898',
    title: 'Other symptoms and signs involving the musculoskeletal system',
    group: 'tone-strength',
  },
  { code: 'R62.0', title: 'Delayed milestone in childhood', group: 'development' },
  {
    code: 'R62.50',
    title: 'Unspecified lack of expected normal physiological development in childhood',
    group: 'development',
  },
  {
    code: 'R62.59',
    title: 'Other lack of expected normal physiological development in childhood',
    group: 'development',
  },
  { code: 'F82', title: 'Specific developmental disorder of motor function', group: 'development' },
  { code: 'F88', title: 'Other disorders of psychological development', group: 'development' },
  { code: 'F89', title: 'Unspecified disorder of psychological development', group: 'development' },
  { code: 'R26.81', title: 'Unsteadiness on feet', group: 'gait-posture' },
  { code: 'R26.89', title: 'Other abnormalities of gait and mobility', group: 'gait-posture' },
  { code: 'R26.9', title: 'Unspecified abnormalities of gait and mobility', group: 'gait-posture' },
  {
    code: 'R26.2',
    title: 'Difficulty in walking, not elsewhere classified',
    group: 'gait-posture',
  },
  { code: 'R27.8', title: 'Other lack of coordination', group: 'gait-posture' },
  { code: 'R27.9', title: 'Unspecified lack of coordination', group: 'gait-posture' },
  { code: 'R29.3', title: 'Abnormal posture', group: 'gait-posture' },
  { code: 'R29.6', title: 'Repeated falls', group: 'gait-posture' },
  {
    code: 'Q66.51',
    title: 'Congenital pes planus, right foot',
    group: 'foot-congenital',
    side: 'right',
  },
  {
    code: 'Q66.52',
    title: 'Congenital pes planus, left foot',
    group: 'foot-congenital',
    side: 'left',
  },
  {
    code: 'Q66.41',
    title: 'Congenital talipes calcaneovalgus, right foot',
    group: 'foot-congenital',
    side: 'right',
  },
  {
    code: 'Q66.42',
    title: 'Congenital talipes calcaneovalgus, left foot',
    group: 'foot-congenital',
    side: 'left',
  },
  { code: 'Q66.6', title: 'Other congenital valgus deformities of feet', group: 'foot-congenital' },
  {
    code: 'Q66.89',
    title: 'Other specified congenital deformities of feet',
    group: 'foot-congenital',
  },
  {
    code: 'M21.41',
    title: 'Flat foot [pes planus] (acquired), right foot',
    group: 'foot-acquired',
    side: 'right',
  },
  {
    code: 'M21.42',
    title: 'Flat foot [pes planus] (acquired), left foot',
    group: 'foot-acquired',
    side: 'left',
  },
  {
    code: 'M21.071',
    title: 'Valgus deformity, not elsewhere classified, right ankle',
    group: 'foot-acquired',
    side: 'right',
  },
  {
    code: 'M21.072',
    title: 'Valgus deformity, not elsewhere classified, left ankle',
    group: 'foot-acquired',
    side: 'left',
  },
  {
    code: 'M21.6X1',
    title: 'Other acquired deformities of right foot',
    group: 'foot-acquired',
    side: 'right',
  },
  {
    code: 'M21.6X2',
    title: 'Other acquired deformities of left foot',
    group: 'foot-acquired',
    side: 'left',
  },
  { code: 'M35.7', title: 'Hypermobility syndrome', group: 'joint-laxity' },
  {
    code: 'M24.271',
    title: 'Disorder of ligament, right ankle',
    group: 'joint-laxity',
    side: 'right',
  },
  {
    code: 'M24.272',
    title: 'Disorder of ligament, left ankle',
    group: 'joint-laxity',
    side: 'left',
  },
  {
    code: 'M24.274',
    title: 'Disorder of ligament, right foot',
    group: 'joint-laxity',
    side: 'right',
  },
  {
    code: 'M24.275',
    title: 'Disorder of ligament, left foot',
    group: 'joint-laxity',
    side: 'left',
  },
  {
    code: 'M25.371',
    title: 'Other instability, right ankle',
    group: 'joint-laxity',
    side: 'right',
  },
  { code: 'M25.372', title: 'Other instability, left ankle', group: 'joint-laxity', side: 'left' },
  { code: 'M25.374', title: 'Other instability, right foot', group: 'joint-laxity', side: 'right' },
  { code: 'M25.375', title: 'Other instability, left foot', group: 'joint-laxity', side: 'left' },
  { code: 'Q79.60', title: 'Ehlers-Danlos syndrome, unspecified', group: 'joint-laxity' },
  { code: 'Q79.61', title: 'Classical Ehlers-Danlos syndrome', group: 'joint-laxity' },
  { code: 'Q79.62', title: 'Hypermobile Ehlers-Danlos syndrome', group: 'joint-laxity' },
  { code: 'Q79.63', title: 'Vascular Ehlers-Danlos syndrome', group: 'joint-laxity' },
  { code: 'Q79.69', title: 'Other Ehlers-Danlos syndromes', group: 'joint-laxity' },
  { code: 'Q87.40', title: 'Marfan syndrome, unspecified', group: 'joint-laxity' },
]
