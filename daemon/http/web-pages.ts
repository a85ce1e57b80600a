import { readdir, readFile } from 'node:fs/promises'
import { join, relative, sep } from 'node:path'
import fastifyStatic from '@fastify/static'
import type { FastifyInstance } from 'fastify'

/** Paths that the web app draws by itself; each is answered with the one page. */
export const appPaths = [
  '/',
  '/tonight',
  '/places/:place',
  '/sensors/:sensor/check',
  '/places/:place/trial',
  '/animals',
  '/animals/:animal',
  '/animals/:animal/note/:kind',
  '/animals/:animal/winter',
  '/weigh',
  '/plan',
  '/day',
  '/species',
  '/winter',
  '/what-if',
  '/what-if/:place',
  '/winter/:place',
  '/winter/:place/:date',
  '/alarms',
  '/contacts',
  '/set-up',
  '/sign-in',
  '/answer',
  '/join',
] as const

/**
 * The dashboard's files, public because the sign-in page is among them; they hold no data. Every file is a route of its
 * own, so that no trick with a path reaches any other file.
 */
export async function serveWebPages(app: FastifyInstance, webRoot: string): Promise<void> {
  const files = await filesUnder(webRoot)
  if (!files.includes('index.html')) throw new Error(`no index.html in ${webRoot}: build the web pages first`)
  await app.register(fastifyStatic, { root: webRoot, serve: false, preCompressed: true })
  const open = { config: { public: true }, schema: { hide: true } } as const

  const link = await firstFilesOf(webRoot, files)
  for (const path of appPaths) {
    const announced = link !== '' && !small.includes(path) ? { link } : {}
    app.get(path, open, (_request, reply) =>
      reply
        .headers({ 'cache-control': 'no-cache', ...announced })
        .sendFile('index.html', { cacheControl: false }),
    )
  }
  for (const file of files) {
    if (file === 'index.html' || file === firstFiles) continue
    const caching = isHashed(file) ? 'public, max-age=31536000, immutable' : 'no-cache'
    app.get(`/${file}`, open, (_request, reply) =>
      reply.header('cache-control', caching).sendFile(file, { cacheControl: false }),
    )
  }
}

/** Pages that begin without the dashboard. */
const small: readonly string[] = ['/answer']

/** Made by the build: paths of what the dashboard begins with. */
const firstFiles = 'first-files.json'

/** A Link field (RFC 8288) that announces them, so that the browser fetches them while it reads the page. */
async function firstFilesOf(webRoot: string, files: readonly string[]): Promise<string> {
  if (!files.includes(firstFiles)) return ''
  const paths = JSON.parse(await readFile(join(webRoot, firstFiles), 'utf8')) as string[]
  return paths
    .filter((path) => files.includes(path.slice(1)))
    .map((path) => `<${path}>; rel=modulepreload`)
    .join(', ')
}

/** Vite puts a hash of the content into these names: `assets/main-B3xk9_Qa.js`. Another content has another name. */
const isHashed = (file: string): boolean => /^assets\/.*-[\w-]{8}\.\w+$/.test(file)

/** Files that Vite made; compressed twins are found by their plain names. */
async function filesUnder(root: string): Promise<string[]> {
  const entries = await readdir(root, { recursive: true, withFileTypes: true })
  const files = entries
    .filter((entry) => entry.isFile())
    .map((entry) => relative(root, join(entry.parentPath, entry.name)).split(sep).join('/'))
  const odd = files.find((file) => !/^[\w./-]+$/.test(file))
  if (odd !== undefined) throw new Error(`${odd} in ${root}: the router would read its name as a pattern`)
  return files.filter((file) => !/\.(?:br|gz)$/.test(file))
}
