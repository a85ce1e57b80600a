import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gunzipSync, gzipSync } from 'node:zlib'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { appPaths } from '../../daemon/http/web-pages.ts'
import { type HttpHouse, httpHouse } from '../support/http-house.ts'

let folder: string
let house: HttpHouse
const script = 'console.log("toads")'
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'brumal-web-'))
  await mkdir(join(folder, 'web', 'assets'), { recursive: true })
  await writeFile(join(folder, 'web', 'index.html'), '<!doctype html><title>Brumal</title>')
  await writeFile(join(folder, 'web', 'mark.svg'), '<svg xmlns="http://www.w3.org/2000/svg"/>')
  await writeFile(join(folder, 'web', 'sw.js'), 'addEventListener("push", () => {})')
  await writeFile(join(folder, 'web', 'manifest.webmanifest'), '{"name":"Brumal"}')
  await writeFile(join(folder, 'web', 'assets', 'main-B3xk9_Qa.js'), script)
  await writeFile(join(folder, 'web', 'assets', 'main-B3xk9_Qa.js.gz'), gzipSync(script))
  await writeFile(join(folder, 'secret.txt'), 'not for you')
  house = await httpHouse({ webRoot: join(folder, 'web') })
})
afterAll(async () => {
  await house.close()
  await rm(folder, { recursive: true, force: true })
})

const get = (url: string, headers: Record<string, string> = {}) => house.app.inject({ url, headers })

test('X1: the page and its files need no sign-in; everything else still does', async () => {
  for (const path of appPaths) {
    const answer = await get(path.replace(/:\w+/, 'fridge'))
    expect([path, answer.statusCode, answer.headers['content-type']]).toEqual([
      path,
      200,
      'text/html; charset=utf-8',
    ])
    expect(answer.body).toContain('<title>Brumal</title>')
    expect(answer.headers['cache-control']).toBe('no-cache')
  }
  const open = house.app.knownRoutes.filter(({ isPublic }) => isPublic).map(({ url }) => url)
  const files = ['/mark.svg', '/sw.js', '/manifest.webmanifest', '/assets/main-B3xk9_Qa.js']
  const pages = new Set<string>([...appPaths, ...files])
  const others = [...new Set(open)].filter((url) => !pages.has(url))
  // The feed's own address is its secret
  expect(others.filter((url) => !url.startsWith('/api/')).toSorted()).toEqual(['/calendar/:file', '/health'])
  expect((await get('/api/tonight')).statusCode).toBe(401)
})

test('a hashed file is kept for a year, others are asked for again', async () => {
  const hashed = await get('/assets/main-B3xk9_Qa.js')
  expect([hashed.statusCode, hashed.body]).toEqual([200, script])
  expect(hashed.headers['cache-control']).toBe('public, max-age=31536000, immutable')
  expect(hashed.headers['content-type']).toMatch(/javascript/)
  const plain = await get('/mark.svg')
  expect(plain.headers['cache-control']).toBe('no-cache')
  const again = await get('/mark.svg', { 'if-none-match': String(plain.headers.etag) })
  expect([again.statusCode, again.body]).toEqual([304, ''])
})

test('A4: the service worker that rings is asked for again each time, and may serve every page', async () => {
  const worker = await get('/sw.js')
  expect([worker.statusCode, worker.headers['cache-control']]).toEqual([200, 'no-cache'])
  expect(worker.headers['content-type']).toMatch(/^(?:text|application)\/javascript/)
  // Standing at the root, its scope is the root (Service Workers, path restriction) without a header that widens it
  expect(worker.headers['service-worker-allowed']).toBeUndefined()
})

test('the manifest has its own media type (Web Application Manifest, IANA considerations)', async () => {
  const manifest = await get('/manifest.webmanifest')
  expect(manifest.headers['content-type']).toMatch(/^application\/manifest\+json/)
  expect(manifest.headers['cache-control']).toBe('no-cache')
  expect(manifest.json()).toEqual({ name: 'Brumal' })
})

test('a compressed twin is sent to a browser that takes it', async () => {
  const answer = await get('/assets/main-B3xk9_Qa.js', { 'accept-encoding': 'gzip' })
  expect(answer.headers['content-encoding']).toBe('gzip')
  expect(gunzipSync(answer.rawPayload).toString()).toBe(script)
  expect(answer.headers['content-type']).toMatch(/javascript/)
})

test('an unknown path is 404, and nothing outside the folder is reached', async () => {
  for (const path of [
    '/nothing',
    '/assets/',
    '/assets/other.js',
    '/secret.txt',
    '/..%2fsecret.txt',
    '/assets/..%2f..%2fsecret.txt',
    '/tonight/a/b',
    '/index.html.gz',
    '/%00',
  ]) {
    const answer = await get(path)
    expect([path, answer.statusCode]).toEqual([path, 404])
    expect(answer.body).not.toContain('not for you')
  }
  expect((await house.app.inject({ method: 'DELETE', url: '/tonight' })).statusCode).toBe(405)
})

test('the page may load its own files and nothing else, and no other site may frame it', async () => {
  const { headers } = await get('/')
  const policy = String(headers['content-security-policy'])
  for (const part of [
    "default-src 'self'",
    "script-src 'self'",
    "style-src 'self'",
    "connect-src 'self'",
    "img-src 'self' data:",
    "frame-ancestors 'none'",
    "object-src 'none'",
    "base-uri 'none'",
  ])
    expect(policy.split(';')).toContain(part)
  expect(policy).not.toMatch(/unsafe|upgrade-insecure-requests|\*/)
  // A worker falls back to script-src, a manifest to default-src (CSP 3, fallback of fetch directives): both are 'self'
  expect(policy).not.toMatch(/worker-src|child-src|manifest-src/)
  expect(headers['strict-transport-security']).toBeUndefined()
  expect(headers['x-content-type-options']).toBe('nosniff')
  expect(headers['x-frame-options']).toBe('DENY')
})

test('a folder without the page is refused at the start', async () => {
  await expect(httpHouse({ webRoot: join(folder, 'web', 'assets') })).rejects.toThrow(/no index\.html/)
})
