import cookie from '@fastify/cookie'
import Fastify, { type FastifyInstance, LogController } from 'fastify'
import { minutes, seconds } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Clock } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { Devices } from '../ports/devices.ts'
import type { Log } from '../ports/log.ts'
import type { PeopleStore } from '../ports/people.ts'
import type { RandomBytes } from '../ports/seal.ts'
import { airRoutes } from './air.ts'
import { alarmRoutes } from './alarms.ts'
import { animalRoutes } from './animals.ts'
import { problem, refuse } from './answer.ts'
import { answerRoutes } from './answers.ts'
import { calendarFeedRoutes, calendarRoutes } from './calendar.ts'
import { dayRoutes } from './day.ts'
import { deviceRoutes } from './devices.ts'
import { diaryRoutes } from './diary.ts'
import { accessTokens } from './doors/access-token.ts'
import type { Doors } from './doors/doors.ts'
import { endings as makeEndings } from './doors/endings.ts'
import { closeDoors } from './doors/guard.ts'
import { invitationRoutes } from './doors/invitations.ts'
import { sessionRoutes } from './doors/own-sessions.ts'
import { passwordRoutes } from './doors/password-change.ts'
import { peopleRoutes } from './doors/people.ts'
import { sessions as sessionsOf } from './doors/session.ts'
import { isSetUpNeeded, setUpCode } from './doors/set-up-code.ts'
import { signInRoutes } from './doors/sign-in.ts'
import { tokenRoutes } from './doors/token-routes.ts'
import { tryLimit } from './doors/try-limit.ts'
import { turnstile, turnstileBounds } from './doors/turnstile.ts'
import { noteWrongTries } from './doors/wrong-tries.ts'
import { setHeaders } from './headers.ts'
import { healthRoutes } from './health.ts'
import { houseRoutes } from './house.ts'
import { importRoutes } from './imports.ts'
import { journalRoutes } from './journal.ts'
import { takeJsonBodiesOnly } from './json-body.ts'
import { keepingRoutes } from './keeping.ts'
import { lagRoutes } from './lag.ts'
import { liveRoutes, pingEvery } from './live.ts'
import { logForFastify } from './log-lines.ts'
import { meRoutes } from './me.ts'
import { metricsRoutes } from './metrics.ts'
import { serveNotices } from './notices.ts'
import { outlookRoutes } from './outlook.ts'
import { describeApi, openapiRoutes } from './openapi.ts'
import { phoneRoutes } from './phone.ts'
import { pictureRoutes } from './pictures.ts'
import { placeRoutes } from './places.ts'
import { practiceRoutes } from './practice.ts'
import { clientErrorHandler, errorHandler, frameworkErrors } from './problem.ts'
import { checkRoutes } from './checks.ts'
import { reportRoutes } from './reports.ts'
import { sensorRoutes } from './sensors.ts'
import { seasonRoutes } from './season.ts'
import { seriesRoutes } from './series.ts'
import { sourceRoutes } from './sources.ts'
import { speciesRoutes } from './species.ts'
import { tellingRoutes } from './telling.ts'
import { type Certificate, httpsOptions } from './tls.ts'
import { tonightRoutes } from './tonight.ts'
import { trialRoutes } from './trials.ts'
import { whatIfRoutes } from './what-if.ts'
import { answerUnknown, listRoutes } from './unknown-path.ts'
import { endSlowRequests } from './slow-requests.ts'
import { squeezeAnswers } from './squeeze.ts'
import { serveWebPages } from './web-pages.ts'
import { serializerCompiler, validatorCompiler } from './zod.ts'

export { renewTls } from './tls.ts'

/** Bounds of one server (X3). */
const httpBounds = {
  /** A household's largest act, a place with all its limits, is under 8 KiB. */
  bodyBytes: 262_144,
  /** The longest id, an alarm's, has 160 characters. */
  paramLength: 200,
  /** Twice the live stream's clients. */
  connections: 1000,
  /** A request that arrives more slowly than this holds a connection for nothing. */
  request: seconds(30),
  /** The longest that a route may give: its own bound is in its config. */
  longestRequest: minutes(5),
} as const

export interface ServerOptions {
  readonly desk: Desk
  readonly people: PeopleStore
  readonly devices: Devices
  readonly clock: Clock
  readonly log: Log
  readonly random: RandomBytes
  /** Folder of the built dashboard; null serves the API alone. */
  readonly webRoot: string | null
  /** Given the one-time code when a first keeper is awaited (X1). The one place where it may be shown: the console. */
  readonly onSetupCode?: (code: string) => void
  /** Whose X-Forwarded-* headers are believed: a proxy on this machine unless said otherwise. */
  readonly trustProxy?: boolean | string | string[]
  readonly pingEvery?: Millis
  /** Base of the links that are handed out, `https://brumal.example`, without a slash at its end. */
  readonly address: () => string
  /** Serves https instead of http. */
  readonly tls?: Certificate
}

/** Builds the server; listening is the caller's. Closing it ends the live streams first. */
export async function buildServer(options: ServerOptions): Promise<FastifyInstance> {
  const { desk, people, devices, clock, log, random, address } = options
  const endings = makeEndings()
  const sessions = sessionsOf(people, clock, random, endings)
  const tokens = accessTokens(people, clock, random, endings)
  const doors: Doors = {
    desk,
    people,
    sessions,
    tokens,
    clock,
    log,
    random,
    address,
    passwordTries: tryLimit(clock),
    linkTries: tryLimit(clock),
    gate: turnstile(turnstileBounds),
    noteWrongTry: noteWrongTries(desk, clock, log),
  }
  const app = Fastify({
    https: options.tls === undefined ? null : httpsOptions(options.tls, httpBounds.request),
    loggerInstance: logForFastify(log),
    logController: new LogController({ disableRequestLogging: true }),
    trustProxy: options.trustProxy ?? 'loopback',
    bodyLimit: httpBounds.bodyBytes,
    requestTimeout: httpBounds.longestRequest,
    routerOptions: { maxParamLength: httpBounds.paramLength },
    forceCloseConnections: true, // a browser keeps connections open that would hold up the end
    frameworkErrors,
    clientErrorHandler,
  })
  app.server.maxConnections = httpBounds.connections
  app.server.headersTimeout = httpBounds.request
  endSlowRequests(app, httpBounds.request)
  app.setValidatorCompiler(validatorCompiler)
  app.setSerializerCompiler(serializerCompiler)
  app.setErrorHandler(errorHandler(log))
  app.decorateReply('problem', problem)
  app.decorateReply('refuse', refuse)
  takeJsonBodiesOnly(app)
  listRoutes(app)
  app.setNotFoundHandler(answerUnknown)

  await setHeaders(app)
  squeezeAnswers(app)
  await app.register(cookie)
  closeDoors(app, sessions, tokens)
  await describeApi(app)

  await app.register(healthRoutes, { desk })
  await app.register(metricsRoutes, { desk })
  await app.register(calendarFeedRoutes, doors)
  await app.register(
    async (api) => {
      for (const routes of doorRoutes) await api.register(routes, doors)
      await api.register(meRoutes)
      await api.register(openapiRoutes)
      await api.register(liveRoutes, {
        desk,
        stands: (tokenHash) => sessions.stands(tokenHash) || tokens.stands(tokenHash),
        endings,
        random,
        pingEvery: options.pingEvery ?? pingEvery,
      })
      await api.register(deviceRoutes, { desk, devices, clock })
      for (const routes of deskRoutes) await api.register(routes, { desk })
    },
    { prefix: '/api' },
  )
  if (options.webRoot !== null) {
    await serveWebPages(app, options.webRoot)
    serveNotices(app, options.webRoot)
  }
  await app.ready()

  if (isSetUpNeeded(people)) options.onSetupCode?.(setUpCode(people, random))
  return app
}

const doorRoutes = [
  signInRoutes,
  invitationRoutes,
  peopleRoutes,
  sessionRoutes,
  passwordRoutes,
  tokenRoutes,
  answerRoutes,
  calendarRoutes,
]

const deskRoutes = [
  tonightRoutes,
  seasonRoutes,
  seriesRoutes,
  airRoutes,
  lagRoutes,
  outlookRoutes,
  alarmRoutes,
  placeRoutes,
  trialRoutes,
  whatIfRoutes,
  sensorRoutes,
  checkRoutes,
  animalRoutes,
  diaryRoutes,
  importRoutes,
  pictureRoutes,
  sourceRoutes,
  journalRoutes,
  houseRoutes,
  speciesRoutes,
  practiceRoutes,
  tellingRoutes,
  phoneRoutes,
  keepingRoutes,
  dayRoutes,
  reportRoutes,
]
