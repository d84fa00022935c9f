/** Elements of the profile SimpleQuantity (datatypes.html 2.24.0.11), which the npm copy types as Quantity. */
export const SIMPLE_QUANTITIES: ReadonlySet<string> = new Set([
  'Range.low',
  'Range.high',
  'SampledData.origin',
  'Dosage.doseAndRate.dose[x]',
  'Dosage.doseAndRate.rate[x]',
  'Dosage.maxDosePerAdministration',
  'Dosage.maxDosePerLifetime',
  'ActivityDefinition.quantity',
  'CarePlan.activity.detail.dailyAmount',
  'CarePlan.activity.detail.quantity',
  'Observation.referenceRange.low',
  'Observation.referenceRange.high',
])
