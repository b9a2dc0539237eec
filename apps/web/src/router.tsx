import { createRootRoute, createRoute, createRouter, lazyRouteComponent, Navigate } from '@tanstack/react-router';
import { placesOf, useSession } from './session.js';
import { Frame } from './shell/frame.js';
import { PageHeading } from './shell/page-heading.js';

const root = createRootRoute({ notFoundComponent: NotHere });
const inside = createRoute({ getParentRoute: () => root, id: 'inside', component: Frame });

/** The first place that the role may use. */
function Start() {
  const [first] = placesOf(useSession().role);
  return <Navigate to={first?.path ?? '/report'} replace />;
}

function NotHere() {
  return (
    <>
      <PageHeading title="There is no such page" />
      <p>Choose one of the pages above.</p>
    </>
  );
}

const page = <Path extends string>(path: Path, component: ReturnType<typeof lazyRouteComponent>) =>
  createRoute({ getParentRoute: () => inside, path, component });

const learning = createRoute({
  getParentRoute: () => inside,
  path: '/learning',
  validateSearch: (search: Record<string, unknown>): { from?: string; until?: string } => ({
    ...(typeof search.from === 'string' ? { from: search.from } : {}),
    ...(typeof search.until === 'string' ? { until: search.until } : {}),
  }),
  component: lazyRouteComponent(() => import('./pages/learning/learning-page.js'), 'LearningPage'),
});

/** The one place before any sign-in: the link that the service printed at its first start leads here. */
const setup = createRoute({
  getParentRoute: () => root,
  path: '/setup',
  component: lazyRouteComponent(() => import('./pages/setup/setup-page.js'), 'SetupPage'),
});

const routes = root.addChildren([
  setup,
  inside.addChildren([
    createRoute({ getParentRoute: () => inside, path: '/', component: Start }),
    page(
      '/report',
      lazyRouteComponent(() => import('./pages/report/report-page.js'), 'ReportPage'),
    ),
    page(
      '/cases',
      lazyRouteComponent(() => import('./pages/cases/queue-page.js'), 'QueuePage'),
    ),
    page(
      '/cases/$incidentId',
      lazyRouteComponent(() => import('./pages/cases/case-page.js'), 'CasePage'),
    ),
    page(
      '/round',
      lazyRouteComponent(() => import('./pages/round/round-page.js'), 'RoundPage'),
    ),
    page(
      '/team',
      lazyRouteComponent(() => import('./pages/team/team-page.js'), 'TeamPage'),
    ),
    learning,
    page(
      '/rulebook',
      lazyRouteComponent(() => import('./pages/rulebook/rulebook-page.js'), 'RulebookPage'),
    ),
    page(
      '/rulebook/$ref',
      lazyRouteComponent(() => import('./pages/rulebook/table-page.js'), 'TablePage'),
    ),
    page(
      '/site',
      lazyRouteComponent(() => import('./pages/site/site-page.js'), 'SitePage'),
    ),
  ]),
]);

export const router = createRouter({ routeTree: routes, defaultPreload: false });

declare module '@tanstack/react-router' {
  interface Register {
    router: typeof router;
  }
}
