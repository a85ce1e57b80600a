import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vite'

export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    outDir: fileURLToPath(new URL('../dist/web', import.meta.url)),
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0, // the content policy allows no data: addresses
    // Schemas are for the daemon's doors; the page takes types and a few plain functions from their files.
    rolldownOptions: { treeshake: { manualPureFunctions: ['z'] } },
  },
  server: { proxy: { '/api': 'http://localhost:8420' } },
})
