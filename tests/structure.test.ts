import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { dirname, relative, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, test } from 'vitest'

const ROOT = fileURLToPath(new URL('..', import.meta.url))
const SRC = resolve(ROOT, 'src')

/** Which folder may import which, besides itself and errors.ts. The table of DEVELOPERS.md. */
const MAY_IMPORT: Record<string, readonly string[]> = {
  domain: [],
  security: [],
  pictures: ['domain'],
  fhir: ['domain', 'pictures'],
  documents: ['domain', 'fhir', 'pictures'],
  storage: ['fhir', 'domain'],
  services: ['documents', 'domain', 'fhir', 'pictures', 'security', 'storage'],
  pages: ['fhir'],
  http: ['documents', 'fhir', 'pages', 'pictures', 'security', 'services'],
  // Starts the service as main.ts does, then asks it over HTTP; it reads no stored row.
  demo: ['domain', 'fhir', 'services', 'storage', 'listening.ts'],
}

const PURE_PACKAGES: Record<string, readonly string[]> = {
  domain: [
    'temporal-polyfill',
    '@stdlib/stats-base-dists-normal',
    'intl-messageformat',
    'jaro-winkler',
    'zod',
  ],
  // Of node:crypto only the digest of a text: what is random is asked of the services.
  pictures: ['d3-scale', 'd3-shape'],
  // The font of a PDF is a file of the package, found by node:module.
  documents: ['node:crypto', 'node:module', 'pdfmake', 'zod'],
  fhir: ['saxes', 'temporal-polyfill', 'node:crypto', 'fhirpath'],
}

/** Things that would make a pure folder depend on when or where it runs. */
const IMPURE =
  /\bDate\.now\b|\bnew Date\b|\bMath\.random\b|\brandom(?:UUID|Bytes)\b|\bprocess\.|\bfetch\(/

interface Import {
  readonly file: string
  readonly target: string
}

const sourceFiles = (folder: string): string[] =>
  readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts'))
    .map((entry) => resolve(entry.parentPath, entry.name))

const isGenerated = (file: string) =>
  /generated, never edited/i.test(readFileSync(file, 'utf8').slice(0, 300))

/** The generator is a developer's script; it writes files and is imported by nothing but its test. */
const isScript = (file: string) => /\bgenerate(?:-[a-z]+)?\.ts$/.test(file)

function importsOf(file: string, text = readFileSync(file, 'utf8')): Import[] {
  return [...text.matchAll(/(?:^|[\s}])(?:from|import)\s*\(?\s*'([^']+)'/gm)].map((match) => ({
    file,
    target: match[1] ?? '',
  }))
}

const folderOf = (file: string) => relative(SRC, file).split('/').slice(0, -1)[0] ?? ''

function faultOf({ file, target }: Import): string | undefined {
  const from = folderOf(file)
  const name = relative(ROOT, file)
  if (target.startsWith('.')) {
    const imported = resolve(dirname(file), target)
    if (imported === resolve(SRC, 'config.ts') && !/src\/(main|[a-z-]+-command)\.ts$/.test(file))
      return `${name} imports config.ts`
    if (imported === resolve(SRC, 'errors.ts') || from === '') return undefined
    const to = folderOf(imported)
    if (to === from || MAY_IMPORT[from]?.includes(to || relative(SRC, imported))) return undefined
    return `${name} imports ${to || relative(SRC, imported)}`
  }
  const pure = PURE_PACKAGES[from]
  if (pure === undefined || isScript(file)) return undefined
  const allowed = pure.some((wanted) => target === wanted || target.startsWith(`${wanted}/`))
  return allowed ? undefined : `${name} imports ${target}`
}

test('imports point one way', () => {
  const faults = sourceFiles(SRC).flatMap((file) =>
    importsOf(file).flatMap((i) => faultOf(i) ?? []),
  )

  expect(faults).toEqual([])
})

test('an import against the direction is found', () => {
  const file = resolve(SRC, 'domain/development/age.ts')
  const found = importsOf(
    file,
    "import { read } from '../../storage/resources.ts'\nimport 'node:fs'",
  )

  expect(found.map(faultOf)).toEqual([
    'src/domain/development/age.ts imports storage',
    'src/domain/development/age.ts imports node:fs',
  ])
})

test('domain, pictures, documents and fhir read no clock, no chance, no environment', () => {
  const pure = ['domain', 'pictures', 'documents', 'fhir'].flatMap((folder) =>
    sourceFiles(resolve(SRC, folder)),
  )
  const impure = pure.filter(
    (file) => !isScript(file) && !isGenerated(file) && IMPURE.test(readFileSync(file, 'utf8')),
  )

  expect(impure.map((file) => relative(ROOT, file))).toEqual([])
})

test('every file of domain that computes has its test', () => {
  const files = sourceFiles(resolve(SRC, 'domain')).filter((file) => !file.includes('/tables/'))
  const computes = files.filter((file) =>
    /export (async )?function|export const \w+ = (async )?[(<]/.test(readFileSync(file, 'utf8')),
  )
  const untested = computes.filter(
    (file) => !existsSync(resolve(ROOT, 'tests', relative(SRC, file)).replace(/\.ts$/, '.test.ts')),
  )

  expect(untested.map((file) => relative(ROOT, file))).toEqual([])
})

test('no file of src is longer than 200 lines, unless generated', () => {
  const long = sourceFiles(SRC).filter(
    (file) => readFileSync(file, 'utf8').split('\n').length > 201 && !isGenerated(file),
  )

  expect(long.map((file) => relative(ROOT, file))).toEqual([])
})
