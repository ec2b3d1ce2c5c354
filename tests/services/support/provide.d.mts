export type ServiceName = 'mosquitto' | 'influxdb' | 'chromium';
export type Provided = { way: 'program'; path: string } | { way: 'container'; image: string };
export const services: Record<
  ServiceName,
  { programs: string[]; override: string; image: string | undefined; packages: string[] }
>;
export function installedProgram(name: ServiceName): string | undefined;
export function containerEngineAnswers(): boolean;
export function canInstallPackages(): boolean;
export function helpFor(name: ServiceName): string;
export function provide(name: ServiceName): Provided;
