import { PLANES } from '../domain/foot/posture.ts'
import { say } from '../domain/messages/message.ts'
import { heelBlocks } from './heel-block.ts'
import { indexBlocks } from './index-block.ts'
import { MIDDLE } from './ink.ts'
import { legend } from './legend.ts'
import type { PosturePicture, StandingPlane } from './posture-picture.ts'
import { boxSample, FOOT_SHAPES } from './shapes.ts'
import { type Block, heading, paragraph, type Sheet } from './sheet.ts'
import { planeBlock } from './plane-block.ts'
import type { Words } from './words.ts'

export function postureSheet(picture: PosturePicture, words: Words): Sheet {
  const { feet, sentences } = picture
  const told = sentences.map(words.of)
  const planes = feet.flatMap(({ side, planes: of }) =>
    of.map(({ plane, finding }) =>
      words.of(
        say('posture-picture.plane', {
          side,
          plane: say(`plane.${plane}`),
          because: finding.because,
        }),
      ),
    ),
  )
  return {
    kind: 'posture',
    title: words.say('part.posture-picture'),
    description: [...planes, ...told].join(' '),
    blocks: [
      ...PLANES.flatMap((plane) => [
        heading(words.of(say(`plane-name.${plane}`))),
        ...feet.flatMap(({ side, planes: of }): Block[] =>
          of
            .filter((one) => one.plane === plane)
            .map((one: StandingPlane) => planeBlock(side, one, words)),
        ),
      ]),
      legend([
        { text: words.say('part.plane-met-zone'), sample: boxSample(MIDDLE) },
        { text: words.say('part.foot-left'), sample: (at) => [FOOT_SHAPES.left(at)] },
        { text: words.say('part.foot-right'), sample: (at) => [FOOT_SHAPES.right(at)] },
      ]),
      ...indexBlocks(picture, words),
      ...heelBlocks(picture, words),
      ...told.map((text) => paragraph(text)),
    ],
  }
}
