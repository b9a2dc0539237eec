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

const report = createRoute({
  getParentRoute: () => inside,
  path: '/report',
  component: lazyRouteComponent(() => import('./pages/report/report-page.js'), 'ReportPage'),
});

const routes = root.addChildren([
  inside.addChildren([createRoute({ getParentRoute: () => inside, path: '/', component: Start }), report]),
]);

export const router = createRouter({ routeTree: routes, defaultPreload: false });

declare module '@tanstack/react-router' {
  interface Register {
    router: typeof router;
  }
}
