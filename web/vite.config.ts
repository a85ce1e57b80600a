import { createHash } from 'node:crypto'
import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { brotliCompressSync, constants, gzipSync } from 'node:zlib'
import { build, defineConfig, type Plugin } from 'vite'

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url))

export default defineConfig({
  root: here('.'),
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  plugins: [serviceWorker(), firstFiles(), twins()],
  build: {
    outDir: here('../dist/web'),
    emptyOutDir: true,
    target: 'es2022',
    // a browser that cannot preload fetches the same files a little later
    modulePreload: { polyfill: false, resolveDependencies: notYetHere() },
    assetsInlineLimit: 0, // the content policy allows no data: addresses
  },
  server: { proxy: { '/api': 'http://localhost:8420' } },
})

/**
 * Builds `worker/worker.ts` into `sw.js`, by itself and under that name for ever: a worker under another name would be a
 * second one. It is told which files the page is made of.
 */
function serviceWorker(): Plugin {
  return {
    name: 'brumal-service-worker',
    apply: 'build',
    enforce: 'post', // after the page itself has been written
    async generateBundle(_options, bundle) {
      const made = Object.values(bundle).map((one) => one.fileName)
      const page = bundle['index.html']
      if (page?.type !== 'asset') throw new Error('the service worker came before the page')
      const version = createHash('sha256').update(page.source)
      for (const name of made.filter((one) => one !== 'index.html')) version.update(name) // their names hold their hashes
      for (const name of readdirSync(here('public'))) version.update(readFileSync(here(`public/${name}`)))
      const paths = ['/', ...made.filter((name) => name.startsWith('assets/')).map((name) => `/${name}`)]
      const files = { version: version.digest('hex').slice(0, 16), paths: [...paths, '/icon.svg'] }
      this.emitFile({ type: 'asset', fileName: 'sw.js', source: await workerFor(files) })
    },
  }
}

async function workerFor(files: object): Promise<string> {
  const built = await build({
    configFile: false,
    root: here('.'),
    publicDir: false,
    logLevel: 'warn',
    define: { SHELL_FILES: JSON.stringify(files) },
    build: {
      write: false,
      target: 'es2022',
      lib: { entry: here('worker/worker.ts'), formats: ['iife'], name: 'worker', fileName: 'sw' },
    },
  })
  const [result] = Array.isArray(built) ? built : [built]
  if (result === undefined || !('output' in result)) throw new Error('the service worker was not built')
  return result.output[0].code
}

/** Names what the dashboard begins with, so that the server can announce it with the page itself: one way there and back less. */
function firstFiles(): Plugin {
  return {
    name: 'brumal-first-files',
    apply: 'build',
    generateBundle(_options, bundle) {
      const chunks = Object.values(bundle).filter((one) => one.type === 'chunk')
      const dashboard = chunks.find((one) => one.name === 'dashboard')
      if (dashboard === undefined) throw new Error('the page has no dashboard')
      const names = new Set([dashboard.fileName])
      // a set goes on through what is added on the way
      for (const name of names)
        for (const next of chunks.find(({ fileName }) => fileName === name)?.imports ?? []) names.add(next)
      const paths = [...names].map((name) => `/${name}`)
      this.emitFile({ type: 'asset', fileName: 'first-files.json', source: JSON.stringify(paths) })
    },
  }
}

/**
 * What a screen is fetched with, less what the dashboard brought along: else each name would stand in the dashboard's code
 * once more. The dashboard is asked about before its screens, since it is what imports them.
 */
function notYetHere(): (file: string, needed: string[]) => string[] {
  let here: readonly string[] = []
  return (file, needed) => {
    if (file.includes('/dashboard-')) here = needed
    const isDoor = /\/(?:dashboard|begin)-/.test(file)
    return isDoor ? needed : needed.filter((one) => !here.includes(one))
  }
}

/** Smaller than this a file goes in one packet as it is, bytes: a usual Ethernet frame less its headers. */
const onePacket = 1400

/** Beside each file its compressed twins, made once here rather than on a small board at each visit. */
function twins(): Plugin {
  return {
    name: 'brumal-compressed-twins',
    apply: 'build',
    writeBundle({ dir }) {
      if (dir === undefined) return
      for (const name of readdirSync(dir, { recursive: true, encoding: 'utf8' })) {
        if (!/\.(?:js|css|html|svg|json|webmanifest)$/.test(name)) continue
        const bytes = readFileSync(join(dir, name))
        if (bytes.length < onePacket) continue
        const hints = { [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length }
        writeFileSync(join(dir, `${name}.br`), brotliCompressSync(bytes, { params: hints }))
        writeFileSync(join(dir, `${name}.gz`), gzipSync(bytes, { level: 9 }))
      }
    },
  }
}
