import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Browser, Page } from 'playwright-core'
import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { documentHtml } from '../../src/documents/html.ts'
import { paperDocument } from '../../src/documents/paper.ts'
import { DOCUMENT_KINDS } from '../../src/fhir/document-codes.ts'
import { HAS_CHROMIUM, openChromium } from '../helpers/chromium.ts'
import { seedPapers } from '../helpers/papers.ts'
import { referralParts } from '../helpers/referral.ts'
import { type TestService, testService } from '../helpers/service.ts'
import { browser, PASSWORD } from '../helpers/staff-pages.ts'

// WCAG 2.2 A and AA as axe-core checks them, by keyboard alone, at the width of a telephone too.

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']

let service: TestService
let chromium: Browser
let origin: string
let login: string

beforeAll(async () => {
  if (!HAS_CHROMIUM) return
  service = await testService()
  const { staff, partner } = await service.clinic()
  const parts = new Map(referralParts({ key: 'seen' }))
  const patient = parts.get('patient')
  if (patient === undefined) throw new Error('There is no patient')
  // A name without a place to break it.
  const name = [{ text: `Invented ${'longname'.repeat(12)}` }]
  parts.set('patient', { ...patient, resource: { ...patient.resource, name } })
  await service.refer(partner, parts)
  await service.sql('update partners set name = $1', [`Invented ${'practice of many '.repeat(4)}`])
  ;({ login } = await browser(service, { clinicId: staff.clinicId }))
  origin = (await service.service.app.listen({ port: 0, host: '127.0.0.1' })).replace(
    '127.0.0.1',
    'localhost',
  )
  chromium = await openChromium()
  return async () => {
    await chromium.close()
    await service.close()
  }
}, 120_000)

/** What axe-core finds wrong, each with the element. */
async function violations(page: Page): Promise<readonly string[]> {
  await page.evaluate(AXE)
  const found: unknown = await page.evaluate(
    `axe.run(document, { runOnly: ${JSON.stringify(TAGS)} }).then(({ violations }) =>
      violations.flatMap(({ id, nodes }) => nodes.map(({ html }) => id + ': ' + html)))`,
  )
  return z.array(z.string()).parse(found)
}

/** Signs in without a mouse: the first field, the second, Enter. */
async function enterByKeyboard(width: number): Promise<Page> {
  const context = await chromium.newContext({ viewport: { width, height: 800 }, bypassCSP: true })
  const page = await context.newPage()
  await page.goto(`${origin}/`)
  await page.keyboard.press('Tab')
  await page.keyboard.press('Tab')
  await page.keyboard.type(login)
  await page.keyboard.press('Tab')
  await page.keyboard.type(PASSWORD)
  await page.keyboard.press('Enter')
  await page.waitForURL(`${origin}/`)
  return page
}

describe.skipIf(!HAS_CHROMIUM)('the pages in Chromium', () => {
  test.each([1200, 360])(
    'have nothing that axe-core finds wrong, %i pixels wide',
    async (width) => {
      const page = await enterByKeyboard(width)
      const found: string[] = []
      const seen = async (): Promise<void> => {
        found.push(...(await violations(page)))
        const wide = Number(await page.evaluate('document.documentElement.scrollWidth'))
        if (wide > width) found.push(`${page.url()} is ${wide} wide`)
      }
      await seen()
      await page.locator('tbody th a').first().click()
      await page.waitForURL(/\/children\//)
      await seen()
      await page.goto(`${origin}/audit?ask=yes`)
      await seen()
      await page.goto(`${origin}/sign-in`)
      await seen()
      await page.context().close()

      expect(found).toEqual([])
    },
    120_000,
  )

  test('and the papers have nothing that axe-core finds wrong, in either language', async () => {
    const found: string[] = []
    const page = await chromium.newPage({ viewport: { width: 1200, height: 800 }, bypassCSP: true })
    for (const { facts } of seedPapers().filter(({ facts: { plan } }) => plan !== undefined))
      for (const kind of DOCUMENT_KINDS)
        for (const language of ['en', 'es'] as const) {
          await page.setContent(documentHtml(paperDocument(facts, { kind, language })))
          for (const one of await violations(page)) found.push(`${kind} ${language}: ${one}`)
        }
    await page.close()

    expect([...new Set(found)]).toEqual([])
  }, 120_000)

  test('lead by keyboard from the worklist to a child, past the navigation', async () => {
    const page = await enterByKeyboard(1200)
    await page.keyboard.press('Tab')
    expect(await page.evaluate('document.activeElement.textContent')).toBe('Skip to the content')
    await page.keyboard.press('Enter')
    for (let step = 0; step < 10; step += 1) {
      await page.keyboard.press('Tab')
      if (String(await page.evaluate('document.activeElement.href')).includes('/children/')) break
    }
    await page.keyboard.press('Enter')
    await page.waitForURL(/\/children\//)
    const opened = await page.evaluate('document.querySelectorAll("details[open]").length')
    await page.context().close()

    expect(opened).toBe(2)
  }, 60_000)

  test('narrow the worklist to a partner by keyboard alone, and keep what was chosen', async () => {
    const page = await enterByKeyboard(1200)
    const select = page.getByLabel('From')
    await page.getByLabel('State').focus()
    await page.keyboard.press('Tab')
    expect(await page.evaluate('document.activeElement.id')).toBe('partner')
    await page.keyboard.press('ArrowDown')
    const chosen = await select.inputValue()
    await page.keyboard.press('Tab')
    await page.keyboard.press('Tab')
    await page.keyboard.press('Enter')
    await page.waitForURL(`${origin}/?state=&partner=${chosen}`)
    const kept = await select.inputValue()
    const wrong = await violations(page)
    await page.context().close()

    expect(chosen).toMatch(/^[0-9a-f-]{36}$/)
    expect([kept, wrong]).toEqual([chosen, []])
  }, 60_000)

  test('sign out by the button, and the pages are closed', async () => {
    const page = await enterByKeyboard(1200)
    await page.getByRole('button', { name: 'Sign out' }).click()
    await page.waitForURL(`${origin}/sign-in`)
    await page.goto(`${origin}/`)
    const url = page.url()
    await page.context().close()

    expect(url).toBe(`${origin}/sign-in`)
  }, 60_000)
})
