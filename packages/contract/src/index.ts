/**
 * What crosses a border, written once: zod schemas, their types, the state table, error codes and the route list.
 */

export * from './account';
export * from './after-answer';
export * from './analysis';
export * from './assessment';
export * from './assessment-summary';
export * from './case-view';
export * from './change';
export * from './clip';
export * from './clip-statement';
export * from './draft-patch';
export * from './errors';
export * from './first-frame';
export * from './group-work';
export * from './ids';
export * from './interpretation';
export * from './learning';
export * from './machine-access';
export * from './measurement';
export * from './measurement-codes';
export * from './month-account';
export * from './observation-codes';
export * from './opinion';
export * from './patient';
export * from './patient-work';
export * from './practice-page';
export * from './published-schema';
export * from './referral-states';
export * from './rounds';
export * from './route';
export * from './routes';
export * from './routes-learning';
export * from './routes-practice';
export * from './routes-reports';
export * from './scan';
export * from './scan-report';
export * from './teaching';
export * from './terms';
