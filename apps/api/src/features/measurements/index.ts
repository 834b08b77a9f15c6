export { measurementsOf, observationsOf } from './measurements.repository';
export { registerMeasurements } from './measurements.routes';
export { measurements, observations } from './measurements.tables';
