/** Version of the service, as in its package.json. */
export const programVersion = '0.1.0';
