import { type Agent, get } from 'node:http'

/** What a GET answers, asked with as little as Node needs: the client must not be what is measured. */
export function getText(
  url: string,
  options: { readonly agent: Agent; readonly headers: Readonly<Record<string, string>> },
): Promise<string> {
  return new Promise((resolve, reject) => {
    get(url, options, (response) => {
      let text = ''
      response.setEncoding('utf8')
      response.on('data', (part: string) => (text += part))
      response.once('end', () => {
        if (response.statusCode === 200) resolve(text)
        else reject(new Error(`answered with ${response.statusCode}: ${text}`))
      })
    }).once('error', reject)
  })
}
