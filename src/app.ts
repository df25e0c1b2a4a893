import { randomUUID } from 'node:crypto';
import rateLimit from '@fastify/rate-limit';
import view from '@fastify/view';
import { Eta } from 'eta';
import fastify, {
  type FastifyBaseLogger,
  type FastifyInstance,
  type FastifyReply,
  type FastifyRequest,
  type FastifyServerOptions,
} from 'fastify';
import helmet from 'helmet';
import type { Config } from './config.js';
import { AppError, errorList } from './errors.js';
import { packageRoot } from './package-root.js';
import type { Signer } from './record/keys.js';
import type { TimestampAuthority } from './record/timestamp-authority.js';
import { makeIssuer } from './store/issue-apart.js';
import type { Store } from './store/open-store.js';
import { openShopSigner } from './store/shop-signer.js';
import type { Upkeep } from './store/upkeep/upkeep.js';
import { type ConnectionLimits, limitConnections, nodeLimits, usualLimits } from './web/connection-limits.js';
import { OneLineARequest, plainLogLine, requestLine } from './web/log-lines.js';
import { noSchemas } from './web/no-schemas.js';
import { registerAssets } from './web/page/assets.js';
import { noteWhatPagesShow } from './web/page/drawn-from.js';
import { showErrors } from './web/page/error-page.js';
import { answerScripts } from './web/page/for-script.js';
import { formBytes, limitForms } from './web/page/form-size.js';
import { makeKeptForms } from './web/page/kept-forms.js';
import { makeKeptPages } from './web/page/kept-pages.js';
import { noteMeanwhile } from './web/page/meanwhile.js';
import { takeUploads } from './web/page/uploads.js';
import { registerPages } from './web/register-pages.js';
import type { Services } from './web/services.js';
import { askForToken } from './web/session/form-token.js';
import { guardRoutes } from './web/session/guard.js';
import { sayHowToKeep, senderOf } from './web/session/how-it-came.js';
import { keepSessions } from './web/session/session.js';
import { makeSetUpToken, type SetUpToken } from './web/session/set-up-token.js';
import { network } from './web/session/sign-in-throttle.js';
import { bearWaiting, letGoOfSilent } from './web/silent-connections.js';

interface AppParts {
  readonly config: Pick<Config, 'logLevel'> & Partial<Pick<Config, 'address' | 'trustsPeer'>>;
  readonly store: Store;
  readonly clock: () => Date;
  /** Opens the key that records are signed with; the shop's own where nothing else is given. */
  readonly signer?: () => Signer;
  readonly setUp?: SetUpToken;
  readonly authority?: TimestampAuthority | undefined;
  /** Looks after the store while the app runs; nobody does where nothing is given. */
  readonly upkeep?: (log: FastifyBaseLogger) => Upkeep;
  /** Certificate and key, PEM, where pages go over TLS. */
  readonly tls?: { readonly cert: string; readonly key: string };
  readonly requestsPerMinute?: number;
  /** Where they differ from the usual ones. */
  readonly limits?: Partial<ConnectionLimits>;
  /** Where log lines go; the standard output where nothing is given. */
  readonly log?: { write(line: string): void };
}

/** The web app, ready for `inject` or `listen`; it never listens itself. */
export async function buildApp(parts: AppParts): Promise<FastifyInstance> {
  const app = fastify(serverOptions(parts)) as FastifyInstance;
  const upkeep = parts.upkeep?.(app.log);
  const { store, authority } = parts;
  const signer = parts.signer ?? (() => openShopSigner(store));
  const issuer = makeIssuer({ dir: store.dir, signer, authority });
  const services: Services = {
    config: parts.config,
    store: parts.store,
    clock: parts.clock,
    signer,
    issuer,
    setUp: parts.setUp ?? makeSetUpToken(parts.clock()),
    keptPages: makeKeptPages(),
    keptForms: makeKeptForms(parts.clock),
    saidOnce: new Map(),
    shownOnce: new Map(),
    upkeep,
  };
  app.addHook('onClose', async () => {
    await Promise.all([upkeep?.stop(), issuer.stop()]);
  });
  app.decorate('services', services);
  const limits = limitsOf(parts);
  limitConnections(app, limits, parts.config.trustsPeer);
  letGoOfSilent(app, { https: parts.tls !== undefined });
  bearWaiting(app, limits);
  showErrors(app);
  // Made once: the plug-in for it makes every header anew at each request.
  const setHeaders = helmet(helmetOptions());
  app.addHook('onRequest', (request, reply, done) => {
    setHeaders(request.raw, reply.raw, (error) => done(error as Error | undefined));
  });
  sayHowToKeep(app);
  await app.register(rateLimit, {
    keyGenerator: (request: FastifyRequest) => network(senderOf(request)),
    max: parts.requestsPerMinute ?? 1200,
    timeWindow: 60_000,
    errorResponseBuilder: () => new AppError('too-many'),
  });
  await app.register(view, {
    engine: { eta: new Eta({ varName: 'it', autoEscape: true }) },
    root: `${packageRoot}/views`,
    viewExt: 'eta',
    production: true,
  });
  await keepSessions(app, services);
  await askForToken(app);
  answerScripts(app);
  guardRoutes(app);
  await takeUploads(app);
  await limitForms(app);
  noteWhatPagesShow(app);
  noteMeanwhile(app);
  registerAssets(app);
  registerPages(app, services);
  await app.ready();
  return app;
}

const limitsOf = ({ limits }: AppParts): ConnectionLimits => ({ ...usualLimits, ...limits });

function serverOptions(parts: AppParts): FastifyServerOptions {
  const { config, tls, log } = parts;
  const { trustsPeer } = config;
  const limits = limitsOf(parts);
  return {
    // The proxy that was named, and what it says alone: what others wrote before it in the same header is theirs to invent.
    trustProxy:
      trustsPeer === undefined ? false : (address: string, hop: number) => hop === 0 && trustsPeer(address),
    // The reference that a person is shown beside an unexpected error, on every line of its request: ten digits of a UUID, which Node
    // draws a hundred at a time.
    genReqId: () => randomUUID().slice(-10),
    bodyLimit: formBytes.open,
    connectionTimeout: limits.connectionTimeout,
    requestTimeout: limits.requestTimeout,
    keepAliveTimeout: limits.keepAliveTimeout,
    routerOptions: { maxParamLength: 120 },
    schemaController: noSchemas,
    logController: new OneLineARequest(),
    // An address that cannot be decoded reaches no page, nor the hooks that a page is drawn with.
    frameworkErrors: (_error: unknown, _request: unknown, reply: FastifyReply) =>
      void reply.code(400).headers(headersOfPlainText).send(errorList['bad-request'].means),
    logger:
      config.logLevel === 'silent'
        ? false
        : {
            level: config.logLevel,
            serializers: { req: requestLine },
            hooks: { streamWrite: plainLogLine },
            timestamp: () => `,"at":"${new Date().toISOString()}"`,
            base: null,
            ...(log === undefined ? {} : { stream: log }),
          },
    ...(tls === undefined
      ? { http: nodeLimits(limits) }
      : { https: { ...nodeLimits(limits), cert: tls.cert, key: tls.key, minVersion: 'TLSv1.2' } }),
  } as FastifyServerOptions;
}

const headersOfPlainText = {
  'content-type': 'text/plain; charset=utf-8',
  'content-security-policy': "default-src 'none'; frame-ancestors 'none'",
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'referrer-policy': 'same-origin',
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'DENY',
  'cache-control': 'no-store',
};

function helmetOptions() {
  return {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        fontSrc: ["'self'"],
        imgSrc: ["'self'", 'blob:'],
        connectSrc: ["'self'"],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
        baseUri: ["'none'"],
        objectSrc: ["'none'"],
      },
    },
    referrerPolicy: { policy: 'same-origin' as const },
    strictTransportSecurity: false,
    xFrameOptions: { action: 'deny' as const },
    crossOriginEmbedderPolicy: false,
  };
}

declare module 'fastify' {
  interface FastifyInstance {
    services: Services;
  }
}
