/* caution.c - the table, and which of it goes with a farm. */
#include "reckon/caution.h"

#include "base/buf.h"
#include "reckon/reckon.h"

#define OWN_LIMITS "the limits of this program"
#define PRACTICE "common practice, no source"

static const struct caution table[] = {
	{ "Fire", CAUTION_PLANTS, NULL,
	  "Dried plants burn fast: keep them from flames, candles, heaters and hot lamps, and out of "
	  "escape routes. Public rooms may forbid them or ask for a tested fire treatment: ask your "
	  "fire authority first.",
	  "International Fire Code (2018), sections 806.2 to 806.4; NFPA 1, Fire Code (2015), sections "
	  "10.13.2, 10.13.7 and 10.13.8; Texas A&M University at Galveston, Event Decorations" },
	{ "Mouldy dust", CAUTION_PLANTS, NULL,
	  "Dust of mouldy plants can make you ill hours later: bag them outdoors, do not shake them, "
	  "wear a fitted dust mask. Fever or tight breathing after such work is for a doctor.",
	  "NIOSH Alert, Request for Assistance in Preventing Organic Dust Toxic Syndrome; eXtension, "
	  "Farm and Ranch eXtension in Safety and Health (2012)" },
	{ "Skin and eyes", CAUTION_PLANTS, NULL,
	  "Sap, hairs and dust of many plants irritate skin and eyes: wear gloves and sleeves, wash "
	  "before you eat, and stop when a rash starts.",
	  PRACTICE },
	{ "Larkspur", CAUTION_CROP, "larkspur|delphinium|consolida",
	  "Larkspur is poisonous, its seeds most of all, and much handling can let it in through the "
	  "skin: wear gloves, sweep up the seeds, keep it from children and animals.",
	  "University of Pennsylvania, School of Veterinary Medicine, Poisonous Plants of "
	  "Pennsylvania: Delphinium" },
	{ "Pampas grass", CAUTION_CROP, "pampas|cortaderia",
	  "Pampas grass sheds seed on the wind; it is rated a high risk in California, and trading any "
	  "part of it is an offence in New South Wales. Ask your plant-health authority before you "
	  "grow, sell or send it.",
	  "California Invasive Plant Council rating, by Calflora; Northern Beaches Council, 5 July 2019" },
	{ "Ravenna grass", CAUTION_CROP, "ravenna|hardy pampas|tripidium",
	  "Ravenna grass, also sold as hardy pampas grass, is a listed weed in Pennsylvania. Ask your "
	  "plant-health authority before you grow, sell or send it.",
	  "Pennsylvania noxious weed list, second hand by WISR 680; Washington State Register 21-01-206" },
	{ "Baby's breath", CAUTION_CROP, "baby's breath|baby\xe2\x80\x99s breath|gypsophila",
	  "Perennial baby's breath (Gypsophila paniculata) is a listed weed in Washington and rated a "
	  "pest in California, and cut stems can still drop seed. Ask your plant-health authority "
	  "before you grow, sell or send it.",
	  "Washington State Noxious Weed Control Board, Class C (1988); California Department of Food "
	  "and Agriculture, pest rating profile (2019); Minnesota Department of Agriculture (2017)" },
	{ "Sea lavender", CAUTION_CROP, "limonium duriusculum|limonium ramosissimum",
	  "This sea lavender invades salt marsh in California; annual statice (Limonium sinuatum) is "
	  "another plant. Ask your plant-health authority before you grow, sell or send it.",
	  "California Invasive Plant Council, plant assessment form for Limonium duriusculum" },
	{ "Hare's-tail grass", CAUTION_CROP, "lagurus|hare's-tail|hare's tail|hare\xe2\x80\x99s-tail|hare\xe2\x80\x99s tail|bunny tail",
	  "Hare's-tail grass is noted as invasive in some places. Ask your plant-health authority "
	  "where you are.",
	  "North Carolina State Extension, Plant Toolbox: Lagurus ovatus" },
	{ "Parcels", CAUTION_SENDING, NULL,
	  "Dried plants and what is made of them may have to be declared, inspected or kept out when a "
	  "parcel crosses a border or leaves a quarantine area. Ask the plant-health authorities at "
	  "both ends before you send.",
	  "USDA APHIS, Shipping Plants, Food, and Other Agricultural Items by Express Courier; ISPM 32 "
	  "(2009), FAO, International Plant Protection Convention" },
	{ "Ladders", CAUTION_HANGING, NULL,
	  "Hanging up means climbing: a sound ladder on firm floor, both hands free for it, never "
	  "alone. Lines that can be let down are better. Your workplace rules stand first.",
	  "29 CFR 1910.23, Ladders (United States), from memory" },
	{ "Damp in the box", CAUTION_BOXING, NULL,
	  "One damp bundle moulds the whole box: box only what snaps, keep boxes where the air stays "
	  "below 60% humidity, and look into each box again a week later. Take mouldy stems outdoors "
	  "in a bag, with a mask on.",
	  "Storage moulds grow from 65% humidity: Plants 11 (2022) 3167, table 1; below 60% indoors: "
	  "US EPA, Mold Course, chapter 2, second hand" },
	{ "Damp on the line", CAUTION_HANGING, NULL,
	  "Stems that hang wet, thick or close in still air go mouldy, and one damp bundle spoils a box: "
	  "hang them loose, let air through, and box only what is dry. A heater beside them is a fire "
	  "risk.",
	  PRACTICE },
	{ "Hot glue and wire", CAUTION_SUPPLY, "glue|wire|solder",
	  "Hot glue burns skin and can light dry plants: unplug the gun when you leave the bench. Cut "
	  "wire flies: guard your eyes and turn its ends under.",
	  PRACTICE },
	{ "Sulphur and bleach", CAUTION_SUPPLY, "sulphur|sulfur|bleach|chlor|hypochlorite|peroxide|ammonia",
	  "Never burn sulphur or use bleach indoors, and never mix them with each other or with "
	  "anything else: the gases injure and kill. Keep to the label and to local rules.",
	  "Centers for Disease Control and Prevention, Cleaning and Disinfecting with Bleach, from "
	  "memory" },
	{ "Wages and taxes", CAUTION_MONEY, NULL,
	  "Wages, taxes and fees here are arithmetic on the figures that you gave, not advice: ask the "
	  "authority, or an adviser licensed where you are, what applies to you.",
	  OWN_LIMITS },
	{ "Finished pieces", CAUTION_PIECES, NULL,
	  "Nothing here says that a finished piece is safe near food, for children or for animals: "
	  "test and label as your local rules ask.",
	  OWN_LIMITS },
};

const struct caution *caution_at(size_t i)
{
	return i < sizeof table / sizeof table[0] ? &table[i] : NULL;
}

/* ---- which of it goes with a farm ---- */

static bool contains(struct str text, const char *word, size_t n)
{
	for (size_t i = 0; i + n <= text.n; i++) {
		if (memcmp(text.p + i, word, n) == 0)
			return true;
	}
	return false;
}

static bool has_word(struct str fold, const char *words)
{
	while (*words) {
		size_t n = strcspn(words, "|");
		if (contains(fold, words, n))
			return true;
		words += n + (words[n] == '|');
	}
	return false;
}

static bool named(const struct head *head, const char *words)
{
	if (has_word(head->fold, words))
		return true;
	for (size_t i = 0; i < head->nalso; i++) {
		if (has_word(head->also_folds[i], words))
			return true;
	}
	return false;
}

static bool hangs(const struct farm *farm)
{
	for (size_t i = 0; i < farm->ncrops; i++) {
		if (farm->crops[i].bundle.given || farm->crops[i].bundle_line.given)
			return true;
	}
	return farm->business.line.given;
}

static bool sends(const struct farm *farm)
{
	for (size_t i = 0; i < farm->noutlets; i++) {
		if (farm->outlets[i].ntariffs || farm->outlets[i].charges.v > 0)
			return true;
	}
	return false;
}

static bool has_money(const struct farm *farm)
{
	bool given = farm->business.wage.given;
	for (size_t i = 0; i < farm->noutlets; i++)
		given |= farm->outlets[i].tax.given;
	for (size_t i = 0; i < farm->npieces; i++)
		given |= farm->pieces[i].tax.given;
	return given;
}

bool caution_applies(const struct caution *c, const struct farm *farm)
{
	bool found = false;
	switch (c->when) {
	case CAUTION_PLANTS:
		return farm->ncrops > 0;
	case CAUTION_PIECES:
		return farm->npieces > 0;
	case CAUTION_CROP:
		for (size_t i = 0; i < farm->ncrops; i++)
			found |= named(&farm->crops[i].head, c->words);
		return found;
	case CAUTION_SUPPLY:
		for (size_t i = 0; i < farm->nsupplies; i++)
			found |= named(&farm->supplies[i].head, c->words);
		return found;
	case CAUTION_HANGING:
		return hangs(farm);
	case CAUTION_BOXING:
		return farm->nbatches > 0;
	case CAUTION_SENDING:
		return sends(farm);
	case CAUTION_MONEY:
		return has_money(farm);
	}
	return false;
}

void caution_own(struct remarks *r, const struct head *head)
{
	for (size_t i = 0; i < head->ncautions; i++) {
		struct buf b;
		buf_init(&b, 1 << 20);
		buf_str(&b, head->name);
		buf_text(&b, ": ");
		buf_str(&b, head->cautions[i]);
		remark_caution(r, b.data, "your own `caution` line");
		buf_release(&b);
	}
}

void reckon_cautions(struct remarks *r, const struct farm *farm)
{
	const struct caution *c;
	for (size_t i = 0; (c = caution_at(i)) != NULL; i++) {
		if (caution_applies(c, farm))
			remark_caution(r, c->text, c->source);
	}
	caution_own(r, &farm->business.head);
	for (size_t i = 0; i < farm->ncrops; i++)
		caution_own(r, &farm->crops[i].head);
	for (size_t i = 0; i < farm->nsupplies; i++)
		caution_own(r, &farm->supplies[i].head);
	for (size_t i = 0; i < farm->nparts; i++)
		caution_own(r, &farm->parts[i].head);
	for (size_t i = 0; i < farm->npieces; i++)
		caution_own(r, &farm->pieces[i].head);
	for (size_t i = 0; i < farm->noutlets; i++)
		caution_own(r, &farm->outlets[i].head);
	for (size_t i = 0; i < farm->ntargets; i++) {
		if (farm->targets[i].head)
			caution_own(r, farm->targets[i].head);
	}
}
