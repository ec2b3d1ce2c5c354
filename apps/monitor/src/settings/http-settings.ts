import { z } from 'zod';

export interface HttpSettings {
  readonly host: string;
  readonly port: number;
}

const loopbackHosts = ['127.0.0.1', 'localhost', '::1'];

export const httpVariables = z.object({
  HTTP_HOST: z
    .string()
    .refine(
      (host) => loopbackHosts.includes(host),
      `a loopback address (${loopbackHosts.join(', ')}): there is no sign-in, so nobody else is let in`,
    )
    .default('127.0.0.1'),
  HTTP_PORT: z
    .string()
    .regex(/^\d{1,5}$/, 'a port number from 0 to 65535 (0: any free one)')
    .transform(Number)
    .refine((port) => port <= 65535, 'a port number from 0 to 65535 (0: any free one)')
    .default(8080),
});

export function httpSettings(e: z.output<typeof httpVariables>): HttpSettings {
  return { host: e.HTTP_HOST, port: e.HTTP_PORT };
}
