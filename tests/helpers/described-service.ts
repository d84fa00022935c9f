import { CANONICAL } from '../../src/fhir/codes.ts'
import { shippedRuleSet } from '../../src/service.ts'
import type { There } from './described-calls.ts'
import { describedOperations } from './description.ts'
import { smallReferral } from './referral.ts'
import { ALL, entries, kept, keptOnce, type TestService, testService, type Who } from './service.ts'

// A service with something of nearly everything that the interface description can ask for.

export interface DescribedService {
  readonly service: TestService
  /** May do everything. */
  readonly staff: Who
  /** May do next to nothing. */
  readonly powerless: Who
  readonly there: There
}

const FORM = 'referral-intake'

export async function describedService(): Promise<DescribedService> {
  const service = await testService()
  const { partner } = await service.clinic()
  const { clinicId } = partner
  const staff = await service.who({ clinicId, clientId: 'all', scope: `${ALL} admin` })
  const powerless = await service.who({ clinicId, clientId: 'none', scope: 'system/Location.d' })
  const sent = await service.refer(partner, smallReferral({ key: 'described' }))
  const started = await service.send(staff, { url: '/fhir/$export?_type=Patient' })
  const [first, made] = [firstOf(service, staff), create(service, staff)]
  const ids = await Promise.all([
    ...publishedTypes().map(first),
    first('AuditEvent'),
    made('Binary', { contentType: 'text/plain', data: 'YQ==' }),
    made('Group', { type: 'person', actual: true }),
  ])
  const there = {
    ids: {
      ...Object.fromEntries<string>([...kept(sent).map(idIn), ...ids]),
      Questionnaire: FORM,
      clients: staff.clientId,
    },
    partnerId: partner.partnerId ?? '',
    exportId: String(started.headers['content-location']).split('/').at(-1) ?? '',
    names: namesInForce(),
  }
  return { service, staff, powerless, there }
}

const publishedTypes = (): string[] =>
  describedOperations().flatMap(({ name }) => /^GET \/fhir\/([A-Z]\w+)$/.exec(name)?.[1] ?? [])

type Id = readonly [type: string, id: string]

const idIn = (place: string): Id => {
  const [type = '', id = ''] = place.split('/')
  return [type, id]
}

const firstOf =
  (service: TestService, who: Who) =>
  async (type: string): Promise<Id> => {
    const found = await service.send(who, { url: `/fhir/${type}?_count=1` })
    return [type, String(entries(found)[0]?.resource?.['id'])]
  }

const create =
  (service: TestService, who: Who) =>
  async (type: string, content: object): Promise<Id> => {
    const body = { resourceType: type, ...content }
    return [type, keptOnce(await service.send(who, { method: 'POST', url: `/fhir/${type}`, body }))]
  }

function namesInForce(): Record<string, string> {
  const { id, version } = shippedRuleSet()
  return {
    ruleset: `${id}|${version}`,
    chart: 'generic|2026.1',
    questionnaire: `${CANONICAL}/Questionnaire/${FORM}`,
    canonical: `${CANONICAL}/Questionnaire/${FORM}`,
    questionnaireRef: `Questionnaire/${FORM}`,
    profile: `${CANONICAL}/StructureDefinition/fact`,
  }
}
