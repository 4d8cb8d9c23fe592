# make run    plans the main demo and says where its patterns and documents lie
# make serve  opens the app on the examples; needs Node and npm once, to build its page
# make test   passes the tests
# make check  what a change must pass: format, vet, staticcheck, tests, generated files
# make fuzz   runs each fuzz target for a minute
.PHONY: run serve page test test-page check generate fuzz bench build setup

GO ?= go
export CGO_ENABLED = 0
DEMO = dunlin-demist-box

build: bin/laywright

bin/laywright: $(shell find cmd internal web -path web/node_modules -prune -o -name '*.go' -print -o -name '*.yaml' -print -o -path 'web/dist/*' -print) go.mod go.sum
	$(GO) build -trimpath -o $@ ./cmd/laywright

run: build
	bin/laywright plan examples/$(DEMO)/$(DEMO).job.yaml --out out/$(DEMO)

serve: page
	$(MAKE) build
	bin/laywright serve --dir examples

# The app's page, built into the program. Without npm the program is built without it.
page:
	@if command -v npm >/dev/null; then cd web && npm ci --no-audit --no-fund --silent && npm run --silent build -- --logLevel warn; else echo "npm is missing: the app is built without its page"; fi

setup:
	@sh scripts/setup.sh

test: setup
	$(GO) vet ./...
	$(GO) test ./...
	@if command -v npm >/dev/null; then cd web && npm ci --no-audit --no-fund --silent && npm test --silent; else echo "npm is missing: the tests of the app's page are skipped"; fi

# The page in a real browser, on the program as it is built.
test-page: page
	@PAGE=1 sh scripts/setup.sh
	$(MAKE) build
	cd web && npm run --silent check && npm run --silent format && npm test --silent && node --test e2e/

check: setup
	@test -z "$$(gofmt -l cmd internal *.go)" || { gofmt -l cmd internal *.go; echo "run gofmt -w on these"; exit 1; }
	$(GO) vet ./...
	$(GO) tool -modfile=tools/go.mod staticcheck ./...
	$(GO) test ./...
	$(MAKE) test-page
	$(MAKE) generate
	git diff --exit-code -- docs/schema examples/questions README.md web/openapi.json web/src/api

# The published schemas, the questions of the README with their answers, and the pictures.
generate: build
	@mkdir -p docs/schema
	bin/laywright schema job > docs/schema/job.schema.json
	bin/laywright schema plan > docs/schema/plan.schema.json
	bin/laywright api > web/openapi.json
	@if command -v npm >/dev/null; then cd web && npm ci --no-audit --no-fund --silent && npm run --silent types; else echo "npm is missing: the page's types stay as they are"; fi
	$(GO) test ./internal/cli -run TestReadmeAnswers -update
	@if command -v pdftoppm >/dev/null; then sh scripts/pictures.sh; else echo "pdftoppm is missing: the pictures stay as they are"; fi

fuzz:
	sh scripts/fuzz.sh

bench:
	$(GO) test -run '^$$' -bench . ./...
