import type { Species } from '@chordae/contract';
import type { QueryClient } from '@tanstack/react-query';
import {
  createRootRouteWithContext,
  createRoute,
  createRouter,
  lazyRouteComponent,
  Outlet,
  redirect,
} from '@tanstack/react-router';
import { meQuery } from './host/session';
import { caseQuery } from './host/use-case';
import { Landing } from './pages/entry/landing';
import { NotFound, PageFailed } from './pages/entry/not-found';
import { Shell } from './pages/entry/shell';
import { SignInPage } from './pages/entry/sign-in';
import { SignedOutGate } from './pages/entry/signed-out-gate';

interface Context {
  readonly client: QueryClient;
}

const root = createRootRouteWithContext<Context>()({
  component: () => (
    <>
      <Outlet />
      <SignedOutGate />
    </>
  ),
  notFoundComponent: NotFound,
  errorComponent: PageFailed,
});

const shell = createRoute({ getParentRoute: () => root, id: 'shell', component: Shell });
const landing = createRoute({ getParentRoute: () => shell, path: '/', component: Landing });
const how = createRoute({
  getParentRoute: () => shell,
  path: '/how',
  component: lazyRouteComponent(() => import('./pages/how'), 'HowPage'),
});
const SPECIES = ['dog', 'cat', 'horse', 'ferret', 'rabbit'] as const;
const limits = createRoute({
  getParentRoute: () => shell,
  path: '/limits',
  component: lazyRouteComponent(() => import('./pages/limits/limits-page'), 'LimitsPage'),
  validateSearch: (search: Record<string, unknown>): { species: Species } => ({
    species: SPECIES.find((s) => s === search['species']) ?? 'dog',
  }),
});
const ofKind = (search: Record<string, unknown>): { kind: 'dog' | 'cat' | 'horse' } => ({
  kind: (['cat', 'horse'] as const).find((k) => k === search['kind']) ?? 'dog',
});
const views = createRoute({
  getParentRoute: () => shell,
  path: '/views',
  component: lazyRouteComponent(() => import('./pages/views/views-page'), 'ViewsPage'),
  validateSearch: ofKind,
});
const oneView = createRoute({
  getParentRoute: () => shell,
  path: '/views/$view',
  component: lazyRouteComponent(() => import('./pages/views/view-page'), 'ViewPage'),
  validateSearch: ofKind,
});
const planCard = createRoute({
  getParentRoute: () => shell,
  path: '/views/card/$plan',
  component: lazyRouteComponent(() => import('./pages/views/plan-card'), 'PlanCard'),
  validateSearch: ofKind,
});
const verifyPage = lazyRouteComponent(() => import('./pages/verify/verify-page'), 'VerifyPage');
const verify = createRoute({ getParentRoute: () => shell, path: '/verify', component: verifyPage });
const verifyOne = createRoute({
  getParentRoute: () => shell,
  path: '/verify/$sha256',
  component: verifyPage,
});
const signIn = createRoute({
  getParentRoute: () => shell,
  path: '/sign-in',
  component: SignInPage,
  validateSearch: (search: Record<string, unknown>): { to?: string } =>
    typeof search['to'] === 'string' && /^\/(?!\/)/.test(search['to']) ? { to: search['to'] } : {},
});

/** Pages for members only: without a session one is asked to sign in and comes back. */
const members = createRoute({
  getParentRoute: () => root,
  id: 'members',
  beforeLoad: async ({ context, location }) => {
    const me = await context.client.ensureQueryData(meQuery);
    if (!me) throw redirect({ to: '/sign-in', search: { to: location.href } });
  },
});
const inShell = createRoute({ getParentRoute: () => members, id: 'in-shell', component: Shell });

const referrals = createRoute({
  getParentRoute: () => inShell,
  path: '/referrals',
  component: lazyRouteComponent(() => import('./pages/referrals/referrals-page'), 'ReferralsPage'),
});
const newReferral = createRoute({
  getParentRoute: () => inShell,
  path: '/referrals/new',
  component: lazyRouteComponent(() => import('./pages/referrals/new-referral-page'), 'NewReferralPage'),
});
export const sheet = createRoute({
  getParentRoute: () => inShell,
  path: '/p/$practiceId/r/$referralId',
  component: lazyRouteComponent(() => import('./pages/sheet/sheet-page'), 'SheetPage'),
});
const report = createRoute({
  getParentRoute: () => inShell,
  path: '/p/$practiceId/r/$referralId/report',
  component: lazyRouteComponent(() => import('./pages/report/report-page'), 'ReportPage'),
});
const queue = createRoute({
  getParentRoute: () => inShell,
  path: '/queue',
  component: lazyRouteComponent(() => import('./pages/queue/queue-page'), 'QueuePage'),
});
const group = createRoute({
  getParentRoute: () => inShell,
  path: '/group/$groupId',
  component: lazyRouteComponent(() => import('./pages/group/group-page'), 'GroupPage'),
});
const rounds = createRoute({
  getParentRoute: () => inShell,
  path: '/rounds',
  component: lazyRouteComponent(() => import('./pages/rounds/rounds-page'), 'RoundsPage'),
});
const oneRound = createRoute({
  getParentRoute: () => inShell,
  path: '/rounds/$roundId',
  component: lazyRouteComponent(() => import('./pages/rounds/round-page'), 'RoundPage'),
});
const scanRequests = createRoute({
  getParentRoute: () => inShell,
  path: '/scan-requests',
  component: lazyRouteComponent(() => import('./pages/rounds/scan-requests-page'), 'ScanRequestsPage'),
});
const patients = createRoute({
  getParentRoute: () => inShell,
  path: '/p/$practiceId/patients',
  component: lazyRouteComponent(() => import('./pages/patients/patients-page'), 'PatientsPage'),
});
const patient = createRoute({
  getParentRoute: () => inShell,
  path: '/p/$practiceId/patients/$patientId',
  component: lazyRouteComponent(() => import('./pages/patients/patient-page'), 'PatientPage'),
});
const account = createRoute({
  getParentRoute: () => inShell,
  path: '/account/$month',
  component: lazyRouteComponent(() => import('./pages/account/account-page'), 'AccountPage'),
  validateSearch: (search: Record<string, unknown>): { of?: string } =>
    typeof search['of'] === 'string' ? { of: search['of'] } : {},
});
const practice = createRoute({
  getParentRoute: () => inShell,
  path: '/p/$practiceId/practice',
  component: lazyRouteComponent(() => import('./pages/practice/practice-page'), 'PracticePage'),
});
const learning = createRoute({
  getParentRoute: () => inShell,
  path: '/learning',
  component: lazyRouteComponent(() => import('./pages/learning/learning-page'), 'LearningPage'),
});
const teaching = createRoute({
  getParentRoute: () => inShell,
  path: '/p/$practiceId/r/$referralId/teaching',
  component: lazyRouteComponent(() => import('./pages/teaching/teaching-page'), 'TeachingPage'),
});
const rechecks = createRoute({
  getParentRoute: () => inShell,
  path: '/rechecks',
  component: lazyRouteComponent(() => import('./pages/rechecks'), 'RechecksPage'),
});
const overTime = createRoute({
  getParentRoute: () => inShell,
  path: '/p/$practiceId/r/$referralId/over-time',
  component: lazyRouteComponent(() => import('./pages/over-time/over-time-page'), 'OverTimePage'),
});
const outbox = createRoute({
  getParentRoute: () => inShell,
  path: '/outbox',
  component: lazyRouteComponent(() => import('./pages/outbox'), 'OutboxPage'),
});
const device = createRoute({
  getParentRoute: () => inShell,
  path: '/device',
  component: lazyRouteComponent(() => import('./pages/device/device-page'), 'DevicePage'),
});
export const desk = createRoute({
  getParentRoute: () => members,
  path: '/desk/$practiceId/$referralId',
  component: lazyRouteComponent(() => import('./pages/desk/desk-page'), 'DeskPage'),
  // Case, code and clips are asked for side by side. Pointing at a link loads code only: opening a case is written down.
  loader: ({ context: { client }, params, preload }) => {
    if (preload) return;
    const query = caseQuery(params);
    const known = client.getQueryData(query.queryKey) ?? client.fetchQuery(query);
    void Promise.all([known, import('./pages/desk/open-ahead')])
      .then(([c, { openClipsAhead }]) => openClipsAhead(c))
      // The page asks again and says what is wrong.
      .catch(() => undefined);
  },
});

const tree = root.addChildren([
  shell.addChildren([landing, how, limits, views, oneView, planCard, signIn, verify, verifyOne]),
  members.addChildren([
    inShell.addChildren([
      referrals,
      newReferral,
      sheet,
      report,
      overTime,
      queue,
      group,
      patients,
      patient,
      account,
      practice,
      learning,
      teaching,
      rechecks,
      outbox,
      device,
      rounds,
      oneRound,
      scanRequests,
    ]),
    desk,
  ]),
]);

export function makeRouter(client: QueryClient) {
  return createRouter({
    routeTree: tree,
    context: { client },
    defaultPreload: 'intent',
    defaultPendingMs: 300,
    defaultPendingComponent: () => (
      <p className="page loading" role="status">
        Loading the page …
      </p>
    ),
    scrollRestoration: true,
  });
}

declare module '@tanstack/react-router' {
  interface Register {
    router: ReturnType<typeof makeRouter>;
  }
}
