import { type INestApplication, RequestMethod } from '@nestjs/common';
import { METHOD_METADATA, PATH_METADATA } from '@nestjs/common/constants.js';
import { ModulesContainer } from '@nestjs/core';
import { routeAccess } from './route-access.js';

/**
 * Refuses to start with a route of which nobody said who may ask for it.
 * @throws Error that names the routes.
 */
export function everyRouteSaysWho(app: INestApplication): void {
  const silent = [...app.get(ModulesContainer).values()]
    .flatMap((module) => [...module.controllers.values()])
    .flatMap(({ metatype }) => (typeof metatype === 'function' ? silentRoutes(metatype) : []));
  if (silent.length > 0) throw new Error(`nobody said who may ask for ${silent.join(', ')}`);
}

function silentRoutes(controller: { readonly name: string; readonly prototype: object }): string[] {
  const members = Object.entries(Object.getOwnPropertyDescriptors(controller.prototype));
  return members.flatMap(([name, { value }]: [string, PropertyDescriptor]) => {
    if (
      name === 'constructor' ||
      typeof value !== 'function' ||
      Reflect.getMetadata(PATH_METADATA, value as object) === undefined
    )
      return [];
    if (Reflect.getMetadata(routeAccess, value as object) !== undefined) return [];
    const method = RequestMethod[Number(Reflect.getMetadata(METHOD_METADATA, value as object))] ?? '';
    return [`${controller.name}.${name} (${method})`];
  });
}
