import { accountRoutes } from './routes-account';
import { caseRoutes } from './routes-case';
import { learningRoutes } from './routes-learning';
import { machineRoutes } from './routes-machine';
import { patientRoutes } from './routes-patients';
import { practiceRoutes } from './routes-practice';
import { readingRoutes } from './routes-reading';
import { reportRoutes } from './routes-reports';
import { roundRoutes } from './routes-rounds';
import { sendingRoutes } from './routes-sending';

/** The map of the API: every route with its access, its shapes and one sentence, by what people do. */
export const routes = {
  ...accountRoutes,
  ...patientRoutes,
  ...sendingRoutes,
  ...caseRoutes,
  ...readingRoutes,
  ...machineRoutes,
  ...roundRoutes,
  ...reportRoutes,
  ...practiceRoutes,
  ...learningRoutes,
} as const;

export type Routes = typeof routes;
export type RouteName = keyof Routes;
