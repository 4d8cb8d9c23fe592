# make run    plans the main demo and says where its patterns and documents lie
# make test   passes the tests
# make check  what a change must pass: format, vet, staticcheck, tests, generated files
# make fuzz   runs each fuzz target for a minute
.PHONY: run test check generate fuzz bench build setup

GO ?= go
export CGO_ENABLED = 0
DEMO = dunlin-demist-box

build: bin/laywright

bin/laywright: $(shell find cmd internal -name '*.go' -o -name '*.yaml') go.mod go.sum
	$(GO) build -trimpath -o $@ ./cmd/laywright

run: build
	bin/laywright plan examples/$(DEMO)/$(DEMO).job.yaml --out out/$(DEMO)

setup:
	@sh scripts/setup.sh

test: setup
	$(GO) vet ./...
	$(GO) test ./...

check: setup
	@test -z "$$(gofmt -l cmd internal *.go)" || { gofmt -l cmd internal *.go; echo "run gofmt -w on these"; exit 1; }
	$(GO) vet ./...
	$(GO) tool -modfile=tools/go.mod staticcheck ./...
	$(GO) test ./...
	$(MAKE) generate
	git diff --exit-code -- docs/schema examples/questions README.md

# The published schemas, the questions of the README with their answers, and the pictures.
generate: build
	@mkdir -p docs/schema
	bin/laywright schema job > docs/schema/job.schema.json
	bin/laywright schema plan > docs/schema/plan.schema.json
	$(GO) test ./internal/cli -run TestReadmeAnswers -update
	@if command -v pdftoppm >/dev/null; then sh scripts/pictures.sh; else echo "pdftoppm is missing: the pictures stay as they are"; fi

fuzz:
	sh scripts/fuzz.sh

bench:
	$(GO) test -run '^$$' -bench . ./...
