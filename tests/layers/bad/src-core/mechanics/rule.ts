import { z } from "zod";
import { yards } from "../field/yards.ts";

export const rule = z.literal(yards);
