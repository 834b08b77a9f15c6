export { renderReport } from './render-report';
export { caseReportOf } from './scan-reports.repository';
export { registerScanReports } from './scan-reports.routes';
