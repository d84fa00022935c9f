import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { addDays } from '../../src/domain/calendar.ts'
import { LANGUAGES } from '../../src/domain/messages/catalogues.ts'
import { VOICES } from '../../src/domain/messages/message.ts'
import { drawPicture, PICTURE_KINDS } from '../../src/pictures/picture.ts'
import { factsOf } from '../helpers/any-picture.ts'
import { HAS_CHROMIUM, openChromium } from '../helpers/chromium.ts'
import { seedChildren } from '../helpers/seed-children.ts'

// Every picture of the invented children, as a browser of 360 px width lays it out.

let browser: Browser | undefined
let page: Page
beforeAll(async () => {
  if (!HAS_CHROMIUM) return
  browser = await openChromium()
  page = await browser.newPage({ viewport: { width: 360, height: 800 } })
})
afterAll(async () => browser?.close())

const CHILDREN = seedChildren()

/** The walker has had its devices for eleven weeks; the others have none. */
const deliveredDays = (name: string): number | undefined =>
  name === 'suitable-walker' ? 80 : undefined

/** What a browser finds wrong: lines that stick out, that lie upon one another, that are too small. */
const faultsOnPage = (): Promise<string[]> =>
  page.evaluate(() => {
    const svg = document.querySelector('svg')
    if (svg === null) return ['no picture']
    const sheet = svg.getBoundingClientRect()
    const texts = [...svg.querySelectorAll('text')].map((text) => {
      // The box of the font reaches above the capitals and below the line.
      const { left, right, top, bottom, height } = text.getBoundingClientRect()
      const size = parseFloat(getComputedStyle(text).fontSize)
      const name = text.textContent
      return { left, right, top: top + height * 0.2, bottom: bottom - height * 0.15, size, name }
    })
    const own = texts.flatMap(({ name, left, right, top, bottom, size }) => [
      ...(left < sheet.left || right > sheet.right ? [`${name} sticks out`] : []),
      ...(top < sheet.top || bottom > sheet.bottom ? [`${name} is cut off`] : []),
      ...(size < 11 ? [`${name} is small`] : []),
    ])
    const pairs = texts.flatMap((one, index) =>
      texts
        .slice(index + 1)
        .filter(
          (two) =>
            one.left < two.right &&
            two.left < one.right &&
            one.top < two.bottom &&
            two.top < one.bottom,
        )
        .map((two) => `${one.name} lies upon ${two.name}`),
    )
    const drawn = [...svg.querySelectorAll('rect,line,path,circle')].filter((shape) => {
      const { left, right } = shape.getBoundingClientRect()
      return left < sheet.left - 0.5 || right > sheet.right + 0.5
    })
    const wide = document.documentElement.scrollWidth > 360 ? ['the page is wider'] : []
    return [...own, ...pairs, ...wide, ...drawn.map(({ outerHTML }) => outerHTML)]
  })

for (const { name, child, asOf } of CHILDREN)
  for (const kind of PICTURE_KINDS)
    test(`${kind} of ${name} fits 360 px in every language and voice`, async (context) => {
      if (browser === undefined) return context.skip('there is no Chromium')
      const days = deliveredDays(name)
      const facts = factsOf(child, asOf, days === undefined ? undefined : addDays(asOf, -days))
      if (facts === undefined) throw new Error('the seed cannot be true')
      for (const language of LANGUAGES)
        for (const voice of VOICES) {
          const { svg } = drawPicture(kind, facts, { language, voice })
          await page.setContent(`<body style="margin:0">${svg}</body>`)

          expect(await faultsOnPage(), `${language} ${voice}`).toEqual([])
        }
    })

test('as an image it is drawn, at its own size', async (context) => {
  if (browser === undefined) return context.skip('there is no Chromium')
  const [first] = CHILDREN
  const facts = first === undefined ? undefined : factsOf(first.child, first.asOf)
  if (facts === undefined) throw new Error('no facts')
  for (const kind of PICTURE_KINDS) {
    const { svg } = drawPicture(kind, facts, { language: 'en' })
    const data = Buffer.from(svg).toString('base64')
    await page.setContent(`<img alt="" src="data:image/svg+xml;base64,${data}">`)
    const width = await page.evaluate(async () => {
      const image = document.querySelector('img')
      await image?.decode()
      return image?.naturalWidth
    })

    expect(width, kind).toBe(360)
  }
})
