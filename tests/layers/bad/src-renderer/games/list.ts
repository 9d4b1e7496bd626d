import type { operation } from "#core/contract/contract";
import type { z } from "zod";
import { yards } from "#core/field/yards";
import { button } from "../parts/button.ts";

export const list: [number, string] = [yards, button];
export type Allowed = typeof operation | z.ZodType;
