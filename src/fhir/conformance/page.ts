import { writeJson } from '../decimal.ts'
import { escapeXhtml } from '../narrative.ts'
import { prettyJson } from '../pretty-json.ts'
import type { Resource } from '../r4/types.ts'
import { type Topic, TOPIC_VERSION } from '../subscription-topics.ts'
import { table } from '../xhtml.ts'
import { profileExample } from './profile-examples.ts'

const STYLE = `
  body { font: 1rem/1.5 system-ui, sans-serif; max-width: 60rem; margin: 2rem auto; padding: 0 1rem; color: #1a1a1a; background: #fff }
  h1 { font-size: 1.5rem; margin-bottom: 0 } h2 { font-size: 1.15rem; margin-top: 2rem }
  .kind, .url { color: #555; margin: 0.2rem 0; overflow-wrap: anywhere }
  table { border-collapse: collapse; width: 100% } th, td { text-align: left; vertical-align: top; padding: 0.35rem 0.6rem; border-bottom: 1px solid #ccc; overflow-wrap: anywhere }
  td:first-child { overflow-wrap: normal }
  pre { white-space: pre-wrap; overflow-wrap: anywhere; max-height: 40rem; overflow: auto; padding: 0.6rem; background: #f4f4f4 }
  th { border-bottom: 2px solid #555 } a { color: #0b4f8a }
  @media (max-width: 32rem) { td, th { display: block; border: 0; padding: 0.1rem 0 } tr { display: block; border-bottom: 1px solid #ccc; padding: 0.5rem 0 } }
`

/** What a published resource says, as a page for people; the JSON is a link away. No script. */
export function publishedPage(resource: Resource, path: string): string {
  const { resourceType, id = '' } = resource
  const link = `${escapeXhtml(path)}?_format=json&amp;_pretty=true`
  return pageOf({
    ...describe(resource),
    kind: `${resourceType} ${id}`,
    content: `${contentOf(resource)}
<p><a href="${link}">The same as JSON</a></p>`,
  })
}

/** The same of a topic, of which R4 has no resource. */
export const topicPage = ({ url, title, trigger, type, filters }: Topic): string =>
  pageOf({
    kind: 'Subscription topic',
    title,
    url,
    version: TOPIC_VERSION,
    description: trigger,
    content: section(
      'A notification',
      table(
        ['What', 'Which'],
        [
          ['is about a', type],
          ['may be filtered by', filters.join(', ')],
        ],
      ),
    ),
  })

interface Page {
  readonly kind: string
  readonly title: string
  readonly url: string
  readonly version: string
  readonly description: string
  /** As HTML. */
  readonly content: string
}

function pageOf({ kind, title, url, version, description, content }: Page): string {
  const head = escapeXhtml(title)
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>${head}</title><style>${STYLE}</style></head><body>
<p class="kind">${escapeXhtml(kind)}, version ${escapeXhtml(version)}</p>
<h1>${head}</h1><p class="url">${escapeXhtml(url)}</p>
<p>${escapeXhtml(description)}</p>
${content}
</body></html>
`
}

function describe(resource: Resource): Pick<Page, 'title' | 'description' | 'url' | 'version'> {
  const members: Readonly<Record<string, unknown>> = { ...resource }
  const text = (name: string): string => {
    const value = members[name]
    return typeof value === 'string' ? value : ''
  }
  return {
    title: text('title') || text('name'),
    description: text('description'),
    url: text('url'),
    version: text('version'),
  }
}

const section = (title: string, content: string): string =>
  `<h2>${escapeXhtml(title)}</h2>${content}`

function exampleOf(id: string | undefined): string {
  const example = profileExample(id ?? '')
  if (example === undefined) return ''
  const json = prettyJson(writeJson(example))
  return section('An example, all of it invented', `<pre>${escapeXhtml(json)}</pre>`)
}

function contentOf(resource: Resource): string {
  switch (resource.resourceType) {
    case 'StructureDefinition':
      return `${section(
        'What it asks beyond R4',
        table(
          ['Element', 'How often', 'What', 'Refused by'],
          (resource.differential?.element ?? []).map(
            ({ path, min, max, short, comment, ...more }) => [
              path,
              [
                min === undefined ? '' : `at least ${min}`,
                max === undefined ? '' : `at most ${max}`,
              ].join(' '),
              [short ?? '', fixedText(more)].filter((one) => one !== '').join(' — '),
              /`([^`]+)`/.exec(comment ?? '')?.[1] ?? '',
            ],
          ),
        ),
      )}${exampleOf(resource.id)}`
    case 'CodeSystem':
      return section(
        'Codes',
        table(
          ['Code', 'Meaning'],
          (resource.concept ?? []).map(({ code, display }) => [code, display ?? '']),
        ),
      )
    case 'ValueSet':
      return (resource.compose?.include ?? [])
        .map(({ system = '', concept }) =>
          section(
            system,
            concept === undefined
              ? '<p>All of its codes.</p>'
              : table(
                  ['Code', 'Meaning'],
                  concept.map(({ code, display }) => [code, display ?? '']),
                ),
          ),
        )
        .join('')
    case 'OperationDefinition':
      return section(
        'Parameters',
        table(
          ['Name', 'Use', 'How often', 'Type', 'What'],
          (resource.parameter ?? []).map(({ name, use, min, max, type, documentation }) => [
            name,
            use,
            `${min}..${max}`,
            type ?? '',
            documentation ?? '',
          ]),
        ),
      )
    case 'CapabilityStatement':
      return section(
        'Resource types',
        table(
          ['Type', 'Interactions', 'Search'],
          (resource.rest?.[0]?.resource ?? []).map(({ type, interaction, searchParam }) => [
            type,
            (interaction ?? []).map(({ code }) => code).join(', '),
            (searchParam ?? []).map(({ name }) => name).join(', '),
          ]),
        ),
      )
    default:
      return ''
  }
}

function fixedText(element: {
  readonly fixedCode?: string
  readonly patternCodeableConcept?: { readonly coding?: readonly { readonly code?: string }[] }
  readonly binding?: { readonly valueSet?: string }
}): string {
  const { fixedCode, patternCodeableConcept, binding } = element
  if (fixedCode !== undefined) return `always ${fixedCode}`
  const code = patternCodeableConcept?.coding?.[0]?.code
  if (code !== undefined) return `the code ${code}`
  return binding?.valueSet === undefined ? '' : `a code of ${binding.valueSet}`
}
