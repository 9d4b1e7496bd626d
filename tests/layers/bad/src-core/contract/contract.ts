import { oc } from "@orpc/contract";
import { z } from "zod";

export const operation = oc.output(z.string());
