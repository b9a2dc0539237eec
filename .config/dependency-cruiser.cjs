/** The arrows of the house go one way; each rule says why it stands. */
const lib = (name) => `^libs/${name}/`;

module.exports = {
  forbidden: [
    {
      name: 'no-circular',
      comment:
        'A circle means two files that cannot be read, tested or changed apart. Entities refer to each other by type only.',
      severity: 'error',
      from: {},
      to: { circular: true, viaOnly: { dependencyTypesNot: ['type-only'] } },
    },
    {
      name: 'domain-is-pure',
      comment: 'Decisions must replay to the same result for ever: the core may know dates, nothing else.',
      severity: 'error',
      from: { path: lib('domain'), pathNot: '\\.spec\\.ts$' },
      to: { pathNot: [lib('domain'), 'node_modules/(temporal-polyfill|temporal-utils|cephes)/'] },
    },
    {
      name: 'rulebook-is-data',
      comment: 'Tables are data with a loader; a loader that knew the service could not be run on a desk.',
      severity: 'error',
      from: { path: lib('rulebook'), pathNot: '\\.spec\\.ts$' },
      to: { path: '^(apps|libs)/', pathNot: [lib('rulebook'), lib('domain')] },
    },
    {
      name: 'application-knows-ports-only',
      comment: 'A use case is tested with ports in memory; an adapter or framework in it would end that.',
      severity: 'error',
      from: { path: lib('application'), pathNot: '\\.spec\\.ts$' },
      to: {
        path: ['^(apps|libs)/', 'node_modules/(@nestjs|typeorm|pg|pg-boss|pdfkit|fastify)/'],
        pathNot: [lib('application'), lib('domain'), lib('rulebook')],
      },
    },
    {
      name: 'adapters-do-not-know-each-other',
      comment: 'Adapters meet in an app, where they are bound; between them they share ports only.',
      severity: 'error',
      from: { path: '^libs/(persistence|letters|notices|access)/', pathNot: '\\.spec\\.ts$' },
      to: { path: '^libs/(persistence|letters|notices|access)/', pathNot: '^libs/$1/' },
    },
    {
      name: 'libraries-do-not-know-apps',
      comment: 'An app binds libraries; the other way round is a circle between deployables.',
      severity: 'error',
      from: { path: '^libs/' },
      to: { path: '^apps/' },
    },
    {
      name: 'libraries-by-their-root',
      comment: 'What a library does not export is its own to change.',
      severity: 'error',
      from: { path: '^(apps|libs)/([^/]+)/', pathNot: '\\.spec\\.ts$' },
      to: { path: '^libs/([^/]+)/.+', pathNot: ['^libs/[^/]+/index\\.ts$', '^$1/$2/'] },
    },
    {
      name: 'web-knows-the-client-only',
      comment: 'What runs in a browser must hold nothing of the server: it talks through the generated client.',
      severity: 'error',
      from: { path: '^apps/web/' },
      to: { path: '^(apps|libs)/', pathNot: ['^apps/web/', lib('api-client')] },
    },
    {
      name: 'database-only-in-persistence',
      comment: 'Row security needs its context set in every transaction; a second way to the database would forget it.',
      severity: 'error',
      from: { pathNot: ['^libs/persistence/', '^migrations/', '^tests/'] },
      to: { path: 'node_modules/(typeorm|@nestjs/typeorm|pg)/' },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    exclude: { path: ['^dist/', '^node_modules/.+/node_modules/'] },
    tsConfig: { fileName: 'tsconfig.json' },
    tsPreCompilationDeps: true,
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['development', 'import', 'node', 'default', 'types'],
    },
  },
};
