import { z } from 'zod'
import { pageIn, Task, those } from '../pages/answers.ts'
import { courseOf, type Courses } from '../pages/task-course.ts'
import { type Ask, NoAnswer } from './page-asking.ts'

/** A state that began before so many versions is told from the oldest of them. */
const VERSIONS = 50

/** How Tasks came to where they stand: their versions, read in one call; of one version there is nothing to ask. */
export async function coursesOf(ask: Ask, tasks: readonly Task[]): Promise<Courses> {
  const isNew = ({ meta }: Task): boolean => meta?.versionId === '1'
  const changed = tasks.filter((task) => !isNew(task))
  const urls = changed.flatMap(({ id }) => [
    `Task/${id}/_history?_count=${VERSIONS}`,
    `Task/${id}/_history/1`,
  ])
  const answers = urls.length === 0 ? [] : await batchOf(ask, urls)
  return new Map([
    ...tasks.filter(isNew).map((task) => [task.id, courseOf([task])] as const),
    ...changed.flatMap(({ id }, index) => {
      const [versions, first] = answers.slice(2 * index)
      const [came] = those(Task, [first])
      // Out of sight, or deleted meanwhile: nothing is told of it.
      if (versions === undefined || came === undefined) return []
      const all = those(Task, pageIn(versions).resources)
      return [[id, courseOf(all, came)] as const]
    }),
  ])
}

const Batch = z.object({
  entry: z.array(
    z.object({ resource: z.unknown().optional(), response: z.object({ status: z.string() }) }),
  ),
})

/** What is answered to each of these, in their order; undefined to what is refused. */
async function batchOf(ask: Ask, urls: readonly string[]): Promise<readonly unknown[]> {
  const entry = urls.map((url) => ({ request: { method: 'GET', url } }))
  const answer = await ask('/fhir', { body: { resourceType: 'Bundle', type: 'batch', entry } })
  if (answer.status !== 200) throw new NoAnswer(answer)
  return Batch.parse(JSON.parse(answer.body)).entry.map(({ resource, response }) =>
    response.status.startsWith('200') ? resource : undefined,
  )
}
