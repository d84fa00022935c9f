/**
 * Qualifications with which a treating practitioner may sign the order of an orthosis for Medicare. A therapist
 * may refer, but is not among them.
 *
 * Unit:       none
 * Population: orders for Medicare beneficiaries, copied by many payers
 * Source:     SOURCES medicare-410-38-order
 * How read:   a secondary restatement of the definition in 42 CFR 410.38
 */
export const ORDER_SIGNERS: readonly string[] = ['MD', 'DO', 'DPM', 'PA', 'NP', 'CNS']
