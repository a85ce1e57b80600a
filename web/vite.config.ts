import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { build, defineConfig, type Plugin } from 'vite'

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url))

export default defineConfig({
  root: here('.'),
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  plugins: [serviceWorker()],
  build: {
    outDir: here('../dist/web'),
    emptyOutDir: true,
    target: 'es2022',
    modulePreload: { polyfill: false }, // a browser without it fetches the same files a little later
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
